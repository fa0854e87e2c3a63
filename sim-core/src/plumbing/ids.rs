//! Integer handles into the flat arrays of a [`super::Plumbing`].

macro_rules! handle {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// Position in the array of its kind.
            pub fn index(self) -> usize {
                self.0 as usize
            }

            /// Handle of the thing at position `index` of its array.
            pub fn at(index: usize) -> Self {
                Self(index as u32)
            }
        }
    };
}

handle!(
    /// A node: a point where lines and parts meet.
    NodeId
);
handle!(
    /// A branch: a line or part between two nodes.
    BranchId
);
handle!(
    /// A tip.
    TipId
);
handle!(
    /// A tank.
    TankId
);
handle!(
    /// A section of the boom.
    SectionId
);
handle!(
    /// A pressure gauge.
    GaugeId
);
