//! What the pages do, in small parts that know no window.

pub mod guard;
pub mod navigation;
pub mod safety;
