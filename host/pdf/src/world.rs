//! What the typesetter may see: our template, one page, our fonts. No disk, no network, no clock.

use std::path::PathBuf;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

const TEMPLATE: &str = include_str!("page.typ");
pub(crate) const FONTS: [&[u8]; 2] =
    [include_bytes!("../fonts/Inter-Regular.otf"), include_bytes!("../fonts/Inter-SemiBold.otf")];

/// What every page has in common.
struct Shared {
    library: LazyHash<Library>,
    fonts: Vec<Font>,
    book: LazyHash<FontBook>,
    template: FileId,
    page: FileId,
}

static SHARED: LazyLock<Shared> = LazyLock::new(|| {
    let fonts: Vec<Font> = FONTS.iter().flat_map(|bytes| Font::iter(Bytes::new(*bytes))).collect();
    Shared {
        library: LazyHash::new(Library::builder().build()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
        template: file("page.typ"),
        page: file("page.json"),
    }
});

#[expect(clippy::expect_used, reason = "both names are plain: no dots, no slashes")]
fn file(name: &str) -> FileId {
    let path = VirtualPath::new(name).expect("a plain name");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// One page's world.
pub(crate) struct World {
    source: Source,
    json: Bytes,
}

impl World {
    pub(crate) fn new(json: String) -> Self {
        let source = Source::new(SHARED.template, TEMPLATE.to_owned());
        Self { source, json: Bytes::from_string(json) }
    }
}

impl typst::World for World {
    fn library(&self) -> &LazyHash<Library> {
        &SHARED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &SHARED.book
    }

    fn main(&self) -> FileId {
        SHARED.template
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == SHARED.template { Ok(self.source.clone()) } else { Err(missing(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == SHARED.page { Ok(self.json.clone()) } else { Err(missing(id)) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHARED.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(PathBuf::from(id.vpath().get_without_slash()))
}
