//! With the feature `live`: builds the engine of the live page, so that the command holds it.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    #[cfg(feature = "live")]
    engine::build();
}

#[cfg(feature = "live")]
#[expect(clippy::expect_used, reason = "a build that cannot go on ends")]
mod engine {
    use flate2::{Compression, write::GzEncoder};
    use std::env;
    use std::io::Write as _;
    use std::path::{Path, PathBuf};
    use std::process::Command;

    const TARGET: &str = "wasm32-unknown-unknown";
    const PROFILE: &str = "module";
    /// What the engine is made of.
    const SOURCES: [&str; 5] =
        ["../sim-core/src", "page/src", "live/src", "live/Cargo.toml", "../Cargo.lock"];

    /// Builds the engine and packs it into the folder of what is built.
    pub(crate) fn build() {
        for source in SOURCES {
            println!("cargo::rerun-if-changed={source}");
        }
        let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo says where"));
        // Beside the other profiles, so that all of them share it.
        let folder = out.ancestors().nth(4).unwrap_or(&out).join("engine");
        let mut cargo = Command::new(env::var_os("CARGO").expect("cargo says which"));
        cargo.args([
            "build",
            "--locked",
            "--package",
            "live",
            "--profile",
            PROFILE,
            "--target",
            TARGET,
        ]);
        cargo.arg("--target-dir").arg(&folder).current_dir("..");
        // What checks or measures this build has no business in that one.
        for name in
            ["CARGO_ENCODED_RUSTFLAGS", "RUSTFLAGS", "RUSTC_WORKSPACE_WRAPPER", "RUSTC_WRAPPER"]
        {
            cargo.env_remove(name);
        }
        let built = cargo.status().is_ok_and(|status| status.success());
        assert!(
            built,
            "the engine of the live page cannot be built: `rustup target add {TARGET}` brings what it is built for"
        );
        pack(&folder.join(TARGET).join(PROFILE).join("live.wasm"), &out.join("live.wasm.gz"));
    }

    fn pack(from: &Path, to: &Path) {
        let module = std::fs::read(from).expect("cargo built it there");
        let mut packed = GzEncoder::new(Vec::new(), Compression::best());
        packed.write_all(&module).expect("a list of bytes takes them");
        std::fs::write(to, packed.finish().expect("a list of bytes takes them"))
            .expect("the folder is ours");
    }
}
