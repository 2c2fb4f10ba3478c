//! Compiles the window's `.slint` files when the `ui` feature is on.

fn main() {
    #[cfg(feature = "ui")]
    compile_window();
}

/// One root, so that nothing is generated twice. Fonts and pictures go into the program: what the
/// window shows depends on no file of the machine.
#[cfg(feature = "ui")]
fn compile_window() {
    use slint_build::{CompilerConfiguration, DefaultTranslationContext, EmbedResourcesKind};
    let config = CompilerConfiguration::new()
        .with_style("fluent".into())
        .embed_resources(EmbedResourcesKind::EmbedFiles)
        .with_default_translation_context(DefaultTranslationContext::None)
        // Tests find elements by name; what is shipped need not carry their names.
        .with_debug_info(std::env::var_os("CARGO_FEATURE_DRIVE").is_some());
    slint_build::compile_with_config("ui/main.slint", config).expect("ui/main.slint compiles");
}
