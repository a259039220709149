//! The only door to files, environment and terminal.

use std::fs;
use std::io::{self, BufRead, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

use super::args::Color;
use crate::data::keys::most;
use crate::data::{Fault, Files, Kind};

/// A kit's folder on disk.
pub(super) struct Folder<'a>(&'a Path);

impl<'a> Folder<'a> {
    /// The kit in this folder.
    pub const fn new(path: &'a Path) -> Self {
        Self(path)
    }
}

impl Files for Folder<'_> {
    fn read(&self, name: &str) -> Result<Option<Vec<u8>>, Fault> {
        let path = self.0.join(name);
        let file = match fs::File::open(&path) {
            Ok(file) => file,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(cannot("read", &path, &error)),
        };
        // One byte more than is taken tells that a file is too large, however
        // large it is.
        let mut bytes = Vec::new();
        file.take(most::BYTES as u64 + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| cannot("read", &path, &error))?;
        Ok(Some(bytes))
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Fault> {
        let path = self.0.join(folder);
        let entries = match fs::read_dir(&path) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(cannot("read", &path, &error)),
        };
        let mut names = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| cannot("read", &path, &error))?;
            // A name that is no text cannot be a lens's id; it is told as it can be.
            names.push(entry.file_name().to_string_lossy().into_owned());
        }
        // The order of a folder is the disk's; ours must not depend on it.
        names.sort();
        Ok(names)
    }
}

/// Writes an answer to standard output; a broken pipe is no failure.
pub(super) fn say(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Fault::machine(format!("cannot write the answer: {error}"))),
        Ok(()) => Ok(()),
    }
}

/// Talk: to standard error, and lost if nobody listens.
pub(super) fn remark(text: &str, color: Color) {
    let choice = match color {
        Color::Auto => anstream::AutoStream::choice(&io::stderr()),
        Color::Always => anstream::ColorChoice::Always,
        Color::Never => anstream::ColorChoice::Never,
    };
    let mut out = anstream::AutoStream::new(io::stderr(), choice);
    let _ = out.write_all(text.as_bytes());
}

/// Whether somebody sits at the input and types.
pub(super) fn is_typed() -> bool {
    io::stdin().is_terminal()
}

/// No line that anybody types is longer than so many bytes.
const LONGEST_LINE: u64 = 64 * 1024;

/// The next line of the input; `None` at its end.
pub(super) fn next_line() -> Result<Option<String>, Fault> {
    let mut line = Vec::new();
    let input = io::stdin().lock();
    let length = input
        .take(LONGEST_LINE + 1)
        .read_until(b'\n', &mut line)
        .map_err(|error| Fault::machine(format!("cannot read the input: {error}")))?;
    if length as u64 > LONGEST_LINE {
        let message = format!("a line of the input is longer than {LONGEST_LINE} bytes");
        return Err(Fault::new(Kind::TooLarge, message));
    }
    // What is no text is no distance either, and told as such.
    Ok((length > 0).then(|| String::from_utf8_lossy(&line).into_owned()))
}

/// The bytes of a file of the user's, or of standard input where it is called `-`:
/// one more than are taken at most, which tells that it is too large.
pub(super) fn input(path: &Path) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    let most = most::BYTES as u64 + 1;
    if path == Path::new("-") {
        let read = io::stdin().lock().take(most).read_to_end(&mut bytes);
        read.map_err(|error| Fault::machine(format!("cannot read the input: {error}")))?;
        return Ok(bytes);
    }
    let missing = |message: String| {
        Fault::new(Kind::Missing, message)
            .with_help("name a file that can be read, or - for standard input")
    };
    if path.is_dir() {
        return Err(missing(format!("{} is a folder", path.display())));
    }
    let file = match fs::File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(missing(format!("there is no file {}", path.display())));
        }
        Err(error) => return Err(cannot("read", path, &error)),
    };
    let read = file.take(most).read_to_end(&mut bytes);
    read.map_err(|error| cannot("read", path, &error))?;
    Ok(bytes)
}

/// The current folder, if it holds a kit.
pub(super) fn kit_here() -> Option<PathBuf> {
    Path::new("kit.toml").is_file().then(|| PathBuf::from("."))
}

/// Writes a file's content to wherever it is told.
pub(super) type Content<'a> = Box<dyn FnOnce(&mut dyn Write) -> io::Result<()> + 'a>;

/// A file to be written whole.
pub(super) struct NewFile<'a> {
    /// Where.
    pub path: PathBuf,
    /// What.
    pub content: Content<'a>,
}

/// What may be written over.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Replace {
    /// Nothing.
    Never,
    /// Files that carry this text.
    Carrying(&'static str),
}

/// Writes all files whole, or none: every content goes to a temporary file in
/// the same folder first, and only when all stand are they given their names.
pub(super) fn write_all(files: Vec<NewFile<'_>>, replace: Replace) -> Result<(), Vec<Fault>> {
    let refused: Vec<Fault> = files
        .iter()
        .filter_map(|file| refusal(&file.path, replace))
        .collect();
    if !refused.is_empty() {
        return Err(refused);
    }
    let one = |fault| vec![fault];
    let mut made = Folders::default();
    let mut standing = Vec::new();
    for file in files {
        let folder = folder_of(&file.path);
        made.make(folder)
            .map_err(|error| one(cannot("make the folder", folder, &error)))?;
        let whole = whole(folder, file.content)
            .map_err(|error| one(cannot("write", &file.path, &error)))?;
        standing.push((whole, file.path));
    }
    let mut named: Vec<PathBuf> = Vec::new();
    for (temporary, path) in standing {
        let result = match replace {
            Replace::Never => temporary.persist_noclobber(&path),
            Replace::Carrying(_) => temporary.persist(&path),
        };
        if let Err(error) = result {
            // What was new a moment ago is taken back; nothing of the user's is.
            if replace == Replace::Never {
                for path in named {
                    let _ = fs::remove_file(path);
                }
            }
            return Err(one(cannot("write", &path, &error.error)));
        }
        readable_by_others(&path);
        named.push(path);
    }
    made.keep();
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// A temporary file in the folder with the whole content, on the disk.
fn whole(folder: &Path, content: Content<'_>) -> io::Result<tempfile::NamedTempFile> {
    let mut temporary = tempfile::NamedTempFile::new_in(folder)?;
    let mut out = io::BufWriter::new(&mut temporary);
    content(&mut out)?;
    out.flush()?;
    drop(out);
    temporary.as_file().sync_all()?;
    Ok(temporary)
}

/// A file of the user's that is written anew as he works, whole each time, and
/// never over what somebody else wrote meanwhile.
pub(super) struct Kept {
    path: PathBuf,
    /// What it holds, as far as we know; `None` where it is not there.
    holds: Option<Vec<u8>>,
}

impl Kept {
    /// The file with what was read of it.
    ///
    /// # Errors
    /// A machine's fault where it could not be written: a link, no file, not
    /// ours, read-only, or in a folder that may not be written.
    pub fn new(path: PathBuf, holds: Option<Vec<u8>>) -> Result<Self, Fault> {
        let kept = Self { path, holds };
        if let Some(about) = kept.about()? {
            let folder = folder_of(&kept.path);
            let temporary = whole(folder, Box::new(|_| Ok(())))
                .map_err(|error| cannot("write in", folder, &error))?;
            kept.check_owner(&about, &temporary)?;
        }
        Ok(kept)
    }

    /// What the disk says of the file, if it is there and may be written anew.
    fn about(&self) -> Result<Option<fs::Metadata>, Fault> {
        let shown = self.path.display();
        let about = match self.path.symlink_metadata() {
            Ok(about) => about,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(cannot("read", &self.path, &error)),
        };
        let refuse = |message: String, help: &str| Err(Fault::machine(message).with_help(help));
        if about.is_symlink() {
            return refuse(
                format!("{shown} is a link, and a file written anew would take its place"),
                "put the file itself there",
            );
        }
        if !about.is_file() {
            return refuse(format!("{shown} is no file"), "move it away");
        }
        if about.permissions().readonly() {
            return refuse(
                format!("{shown} is read-only"),
                "allow writing if it is yours to change",
            );
        }
        Ok(Some(about))
    }

    #[cfg(unix)]
    fn check_owner(
        &self,
        about: &fs::Metadata,
        new: &tempfile::NamedTempFile,
    ) -> Result<(), Fault> {
        use std::os::unix::fs::MetadataExt;
        let own = new
            .as_file()
            .metadata()
            .map_err(|error| cannot("read", new.path(), &error))?;
        if own.uid() == about.uid() {
            return Ok(());
        }
        let shown = self.path.display();
        let message = format!("{shown} belongs to somebody else, and written anew would not");
        Err(Fault::machine(message).with_help("copy the kit, or work as the file's owner"))
    }

    #[cfg(not(unix))]
    fn check_owner(&self, _: &fs::Metadata, _: &tempfile::NamedTempFile) -> Result<(), Fault> {
        Ok(())
    }

    /// Writes it whole, or takes it away where it is to be none.
    ///
    /// # Errors
    /// A machine's fault; the file is then as it was, or as somebody else wrote
    /// it.
    pub fn write(&mut self, content: Option<&[u8]>) -> Result<(), Fault> {
        let about = self.about()?;
        let now = match &about {
            None => None,
            Some(_) => Some(fs::read(&self.path).map_err(|e| cannot("read", &self.path, &e))?),
        };
        if now != self.holds {
            let message = format!(
                "{} was changed by somebody else meanwhile: nothing more is written",
                self.path.display()
            );
            return Err(Fault::machine(message)
                .with_help("what was saved before stands, this does not; look, and begin anew"));
        }
        match content {
            None if about.is_none() => {}
            None => fs::remove_file(&self.path)
                .map_err(|error| cannot("take away", &self.path, &error))?,
            Some(content) => self.put(content, about)?,
        }
        self.holds = content.map(<[u8]>::to_vec);
        Ok(())
    }

    fn put(&self, content: &[u8], about: Option<fs::Metadata>) -> Result<(), Fault> {
        let failed = |error: io::Error| cannot("write", &self.path, &error);
        let mut made = Folders::default();
        let folder = folder_of(&self.path);
        made.make(folder)
            .map_err(|error| cannot("make the folder", folder, &error))?;
        let temporary = whole(folder, Box::new(|out| out.write_all(content))).map_err(failed)?;
        match about {
            Some(about) => {
                self.check_owner(&about, &temporary)?;
                let mode = about.permissions();
                fs::set_permissions(temporary.path(), mode).map_err(failed)?;
                temporary.persist(&self.path).map_err(|e| failed(e.error))?;
            }
            None => {
                let new = temporary.persist_noclobber(&self.path);
                new.map_err(|e| failed(e.error))?;
                readable_by_others(&self.path);
            }
        }
        made.keep();
        Ok(())
    }
}

/// Writes files of a kit one after the other, each whole; where one cannot be
/// written, those before it become again what they were.
pub(super) fn write_kept(files: Vec<(Kept, Vec<u8>)>) -> Result<(), Fault> {
    let mut done: Vec<(Kept, Option<Vec<u8>>)> = Vec::new();
    for (mut file, content) in files {
        let before = file.holds.clone();
        if let Err(fault) = file.write(Some(&content)) {
            for (mut file, before) in done.into_iter().rev() {
                // What cannot be taken back was at least whole.
                let _ = file.write(before.as_deref());
            }
            return Err(fault);
        }
        done.push((file, before));
    }
    Ok(())
}

/// A temporary file is its owner's alone; a sheet is for everybody who could
/// read any other new file here.
#[cfg(unix)]
fn readable_by_others(path: &Path) {
    use std::os::unix::fs::PermissionsExt;
    let _ = fs::set_permissions(path, fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn readable_by_others(_: &Path) {}

/// Folders made on the way, taken back unless kept.
#[derive(Default)]
struct Folders(Vec<PathBuf>);

impl Folders {
    fn make(&mut self, folder: &Path) -> io::Result<()> {
        let missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|up| !up.as_os_str().is_empty() && !up.exists())
            .collect();
        for folder in missing.into_iter().rev() {
            fs::create_dir(folder)?;
            self.0.push(folder.to_owned());
        }
        if folder.is_dir() {
            Ok(())
        } else {
            Err(io::ErrorKind::NotADirectory.into())
        }
    }

    fn keep(&mut self) {
        self.0.clear();
    }
}

impl Drop for Folders {
    fn drop(&mut self) {
        for folder in self.0.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

fn refusal(path: &Path, replace: Replace) -> Option<Fault> {
    let there = path.symlink_metadata().is_ok();
    if !there {
        return None;
    }
    let shown = path.display();
    match replace {
        Replace::Never => Some(
            Fault::new(Kind::Exists, format!("{shown} is there already"))
                .with_help("choose another --out, or add --replace to write over our own sheets"),
        ),
        Replace::Carrying(code) => match fs::read(path) {
            Ok(bytes) if contains(&bytes, code.as_bytes()) => None,
            Ok(_) => Some(
                Fault::new(Kind::Exists, format!("{shown} is not a sheet of ours"))
                    .with_help("move it away or choose another --out; it is left as it is"),
            ),
            Err(error) => Some(cannot("read", path, &error)),
        },
    }
}

fn contains(bytes: &[u8], wanted: &[u8]) -> bool {
    bytes.windows(wanted.len()).any(|window| window == wanted)
}

fn cannot(what: &str, path: &Path, error: &io::Error) -> Fault {
    Fault::machine(format!("cannot {what} {}: {error}", path.display()))
}

/// Whether something of this name is there.
pub(super) fn is_there(path: &Path) -> bool {
    path.symlink_metadata().is_ok()
}
