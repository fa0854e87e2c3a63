//! Wall roughness by material.

/// A line material and its roughness when new.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// What scenario files call it.
    pub name: &'static str,
    /// Roughness, m.
    pub roughness_m: f64,
    /// Where the figure is from.
    pub source: &'static str,
}

/// The materials.
pub const MATERIALS: [Material; 8] = [
    Material { name: "stainless", roughness_m: 1.5e-6, source: "drawn tubing, Moody 1944" },
    Material { name: "plastic", roughness_m: 1.5e-6, source: "drawn tubing and glass, Moody 1944" },
    Material {
        name: "polyethylene",
        roughness_m: 1.5e-6,
        source: "drawn tubing and glass, Moody 1944",
    },
    Material { name: "pvc", roughness_m: 1.5e-6, source: "drawn tubing and glass, Moody 1944" },
    Material {
        name: "hose",
        roughness_m: 10e-6,
        source: "no published figure for sprayer hose found; assumed, friction changes by 3.5 % \
                 between 1.5 and 10 um in a 20 mm bore at Re 20 000",
    },
    Material { name: "coated", roughness_m: 5e-6, source: "plastic-coated pipe, Farshad et al." },
    Material { name: "steel", roughness_m: 45.7e-6, source: "commercial steel, Moody 1944" },
    Material { name: "galvanised", roughness_m: 152e-6, source: "galvanised iron, Moody 1944" },
];

/// The material called `name`.
pub fn material(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name == name)
}
