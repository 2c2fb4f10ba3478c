//! About the program.

use crate::app::{AboutAdapter, Handle, MainWindow};
use slint::ComponentHandle;

/// The first lines of the licence that lies beside the typeface, and where the rest is.
const TYPEFACE: &str = "B612, in its regular and bold cuts: under the SIL Open Font License 1.1, the Eclipse \
                        Public License 2.0 and the Eclipse Distribution License 1.0. Their texts and the \
                        copyright notice follow.";

pub fn connect(window: &MainWindow, _app: &Handle) {
    let about = window.global::<AboutAdapter>();
    about.set_version(env!("CARGO_PKG_VERSION").into());
    let licence = include_str!("../../../ui/fonts/B612-LICENCE.txt");
    // The Open Font License is the one that it is used under; the whole file lies beside the typeface.
    let end = licence.find("License: EPL-2.0\n").unwrap_or(licence.len());
    let paragraphs: Vec<String> = licence[..end]
        .split("\n\n")
        .flat_map(|part| part.split("\n ."))
        .map(|part| part.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    about.set_font_licence(format!("{TYPEFACE}\n\n{}", paragraphs.join("\n\n")).into());
}
