//! Puts the memory layout where the linker looks for it.

use std::path::PathBuf;
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo:rerun-if-changed=memory.x");
    let out = env::var_os("OUT_DIR").map(PathBuf::from);
    let out = out.ok_or_else(|| io::Error::other("OUT_DIR is not set: cargo runs this"))?;
    fs::write(out.join("memory.x"), include_bytes!("memory.x"))?;
    println!("cargo:rustc-link-search={}", out.display());
    if env::var_os("CARGO_FEATURE_DEFMT").is_some() {
        println!("cargo:rustc-link-arg-bins=-Tdefmt.x");
    }
    Ok(())
}
