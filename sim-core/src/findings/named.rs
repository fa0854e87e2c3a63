//! Parts of the machine as findings name them.

use crate::plumbing::{BranchId, NodeId, Plumbing, SectionId, TankId, TipId};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

/// A thing by its handle and its name. Files show the name alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Named<H> {
    /// Its handle in the plumbing or scenario it belongs to.
    pub id: H,
    /// Its name there.
    pub name: Arc<str>,
}

impl<H> Named<H> {
    /// The thing at `id`, called `name`.
    pub fn new(id: H, name: &str) -> Self {
        Self { id, name: name.into() }
    }
}

impl Named<BranchId> {
    /// The branch at `id` of `plumbing`.
    pub fn branch(plumbing: &Plumbing, id: BranchId) -> Self {
        Self::new(id, &plumbing.branch(id).name)
    }
}

impl Named<NodeId> {
    /// The node at `id` of `plumbing`.
    pub fn node(plumbing: &Plumbing, id: NodeId) -> Self {
        Self::new(id, &plumbing.node(id).name)
    }
}

impl Named<TankId> {
    /// The tank at `id` of `plumbing`.
    pub fn tank(plumbing: &Plumbing, id: TankId) -> Self {
        Self::new(id, &plumbing.tank(id).name)
    }
}

impl Named<TipId> {
    /// The tip at `id` of `plumbing`.
    pub fn tip(plumbing: &Plumbing, id: TipId) -> Self {
        Self::new(id, &plumbing.tips[id.index()].name)
    }
}

impl Named<SectionId> {
    /// The section at `id` of `plumbing`.
    pub fn section(plumbing: &Plumbing, id: SectionId) -> Self {
        Self::new(id, &plumbing.sections[id.index()].name)
    }

    /// Every section of `plumbing`, in its order.
    pub fn sections(plumbing: &Plumbing) -> impl Iterator<Item = Self> + '_ {
        (0..plumbing.sections.len()).map(|i| Self::section(plumbing, SectionId::at(i)))
    }
}

impl<H> fmt::Display for Named<H> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.name)
    }
}

impl<H> Serialize for Named<H> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.name)
    }
}

impl<H> JsonSchema for Named<H> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Name".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        String::json_schema(generator)
    }
}
