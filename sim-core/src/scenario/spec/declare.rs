//! How tables of the format are declared: of each key its name, what its value must be, perhaps `required` or
//! `or "DEFAULT"` as a user would write it, and its meaning.

use super::{Key, Kind};

/// The key `name` that means `doc`.
pub(in crate::scenario) const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: false, default: None, doc }
}

impl Key {
    pub(in crate::scenario) const fn required(mut self) -> Self {
        self.required = true;
        self
    }

    pub(in crate::scenario) const fn or(mut self, default: &'static str) -> Self {
        self.default = Some(default);
        self
    }
}

/// The stretches of a table's keys, one after the other: a key of its own, or `..A, B;` for shared ones.
macro_rules! stretches {
    ([$($done:expr,)*]) => { &[$($done),*] };
    ([$($done:expr,)*] ..$($shared:ident),+; $($rest:tt)*) => {
        $crate::scenario::spec::declare::stretches!([$($done,)* $($shared,)+] $($rest)*)
    };
    ([$($done:expr,)*] $name:ident: $kind:expr $(, $how:ident $($default:literal)?)?, $doc:literal; $($rest:tt)*) => {
        $crate::scenario::spec::declare::stretches!([
            $($done,)*
            &[$crate::scenario::spec::declare::key(stringify!($name), $kind, $doc)$(.$how($($default)?))?],
        ] $($rest)*)
    };
}

/// Tables: what each is for, its name here, and its keys.
macro_rules! tables {
    ($($(#[doc = $doc:literal])+ $vis:vis $name:ident { $($keys:tt)+ })+) => {$(
        $vis static $name: $crate::scenario::spec::TableSpec = $crate::scenario::spec::TableSpec {
            // Each line of a doc comment starts with a space.
            doc: concat!($($doc),+).trim_ascii_start(),
            stretches: $crate::scenario::spec::declare::stretches!([] $($keys)+),
        };
    )+};
}

/// Keys that several tables share.
macro_rules! shared_keys {
    ($($(#[doc = $about:literal])+ $vis:vis $name:ident {
        $($key:ident: $kind:expr $(, $how:ident $($default:literal)?)?, $doc:literal;)+
    })+) => {$(
        $(#[doc = $about])+
        $vis const $name: &[$crate::scenario::spec::Key] = &[
            $($crate::scenario::spec::declare::key(stringify!($key), $kind, $doc)$(.$how($($default)?))?),+
        ];
    )+};
}

pub(in crate::scenario) use {stretches, tables};
