//! What pages and pictures show, wherever they are made: by the command, or in a browser.
//!
//! [`drawing`] says where everything of a machine is, [`page`] what a script needs to draw it, [`words`] what findings say.

pub mod drawing;
pub mod page;
pub mod words;
