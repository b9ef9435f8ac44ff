//! Gives the linker its scripts.

use std::path::PathBuf;

fn main() {
    let out = PathBuf::from(std::env::var_os("OUT_DIR").unwrap_or_default());
    if let Err(error) = std::fs::copy("memory.x", out.join("memory.x")) {
        println!("cargo:error=memory.x cannot be copied to {}: {error}", out.display());
    }
    println!("cargo:rustc-link-search={}", out.display());
    println!("cargo:rerun-if-changed=memory.x");
    for script in ["--nmagic", "-Tlink.x"] {
        println!("cargo:rustc-link-arg-bins={script}");
    }
}
