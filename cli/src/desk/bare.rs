//! Pictures and meshes reduced to what is looked at: pixels and surfaces. Where and when a picture was taken, by whom a
//! scan was made and whose it is stand beside these in the files, and go no further than here.

/// What lies in a file, by the ending of its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceKind {
    Png,
    Jpeg,
    Stl,
    Ply,
    Obj,
}

impl SourceKind {
    pub fn of(name: &str) -> Option<SourceKind> {
        let (_, ending) = name.rsplit_once('.')?;
        Some(match ending.to_ascii_lowercase().as_str() {
            "png" => SourceKind::Png,
            "jpg" | "jpeg" => SourceKind::Jpeg,
            "stl" => SourceKind::Stl,
            "ply" => SourceKind::Ply,
            "obj" => SourceKind::Obj,
            _ => return None,
        })
    }

    pub fn is_picture(self) -> bool {
        matches!(self, SourceKind::Png | SourceKind::Jpeg)
    }

    /// As a page knows it.
    pub fn word(self) -> &'static str {
        match self {
            SourceKind::Png => "png",
            SourceKind::Jpeg => "jpeg",
            SourceKind::Stl => "stl",
            SourceKind::Ply => "ply",
            SourceKind::Obj => "obj",
        }
    }

    pub fn media_type(self) -> &'static str {
        match self {
            SourceKind::Png => "image/png",
            SourceKind::Jpeg => "image/jpeg",
            _ => "application/octet-stream",
        }
    }
}

/// The bare content of a file; else why it is none, as the end of a sentence.
pub fn bare(kind: SourceKind, bytes: &[u8]) -> Result<Vec<u8>, &'static str> {
    match kind {
        SourceKind::Png => png(bytes).ok_or("it is no PNG picture, or only a part of one"),
        SourceKind::Jpeg => jpeg(bytes).ok_or("it is no JPEG picture, or only a part of one"),
        SourceKind::Stl => stl(bytes).ok_or("it is no STL, or only a part of one"),
        SourceKind::Ply => ply(bytes).ok_or("it is no PLY: its head is not that of one"),
        SourceKind::Obj => obj(bytes).ok_or("it is no OBJ with vertices and faces"),
    }
}

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

/// Size, palette, transparency and pixels; texts, times and places of taking are other parts.
fn png(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut rest = bytes.strip_prefix(PNG)?;
    let mut out = PNG.to_vec();
    while let Some((head, after)) = rest.split_first_chunk::<8>() {
        let length = u32::from_be_bytes(head[..4].try_into().ok()?) as usize;
        // The part's content, and its checksum.
        let whole = length.checked_add(4).filter(|l| *l <= after.len())?;
        let name = &head[4..];
        if [b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"].iter().any(|n| *n == name) {
            out.extend_from_slice(head);
            out.extend_from_slice(&after[..whole]);
        }
        rest = &after[whole..];
        if name == b"IEND" {
            return Some(out);
        }
    }
    None
}

/// Tables, frame and scans. Notes of the camera, thumbnails and remarks are other segments; further pictures may follow
/// the end of the first.
fn jpeg(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut rest = bytes.strip_prefix(b"\xff\xd8")?;
    let mut out = b"\xff\xd8".to_vec();
    loop {
        // Any number of fill bytes may stand before a marker.
        let at = rest.iter().position(|b| *b != 0xff).filter(|at| *at > 0)?;
        let marker = rest[at];
        let body = &rest[at + 1..];
        if marker == 0xd9 {
            out.extend_from_slice(&[0xff, marker]);
            return Some(out);
        }
        let length = usize::from(u16::from_be_bytes(*body.first_chunk()?));
        let segment = body.get(..length).filter(|s| s.len() >= 2)?;
        // How colours are coded stands in one of the camera's segments.
        let is_kept = match marker {
            0xee => segment[2..].starts_with(b"Adobe"),
            0xc0..=0xdf => true,
            _ => false,
        };
        if is_kept {
            out.extend_from_slice(&[0xff, marker]);
            out.extend_from_slice(segment);
        }
        rest = &body[length..];
        if marker == 0xda {
            let end = scan_end(rest)?;
            out.extend_from_slice(&rest[..end]);
            rest = &rest[end..];
        }
    }
}

/// Where the coded pixels of a scan end: at a marker that is neither a coded 255 nor a restart.
fn scan_end(bytes: &[u8]) -> Option<usize> {
    bytes.windows(2).position(|w| w[0] == 0xff && !matches!(w[1], 0x00 | 0xff | 0xd0..=0xd7))
}

/// Head and number of triangles of a binary STL; each triangle has fifty bytes.
const STL_HEAD: usize = 80;
const STL_TRIANGLE: usize = 50;

fn stl(bytes: &[u8]) -> Option<Vec<u8>> {
    if let Some(count) = bytes.get(STL_HEAD..).and_then(|b| b.first_chunk::<4>()) {
        let count = u32::from_le_bytes(*count) as usize;
        if count.checked_mul(STL_TRIANGLE)?.checked_add(STL_HEAD + 4) == Some(bytes.len()) {
            let mut out = bytes.to_vec();
            out[..STL_HEAD].fill(0);
            return Some(out);
        }
    }
    if !bytes.trim_ascii_start().starts_with(b"solid") {
        return None;
    }
    let mut out = Vec::with_capacity(bytes.len());
    let mut ended = false;
    for line in lines(bytes) {
        let word = line.trim_ascii_start();
        // Behind these two words stands the name of the solid.
        let line = if word.starts_with(b"solid") {
            b"solid"
        } else if word.starts_with(b"endsolid") {
            ended = true;
            b"endsolid"
        } else {
            line
        };
        out.extend_from_slice(line);
        out.push(b'\n');
    }
    ended.then_some(out)
}

fn ply(bytes: &[u8]) -> Option<Vec<u8>> {
    const LONGEST_HEAD: usize = 64 << 10;
    let end = b"end_header";
    let head = &bytes[..bytes.len().min(LONGEST_HEAD)];
    let at = head.windows(end.len()).position(|w| w == end)? + end.len();
    let breaks = if bytes[at..].starts_with(b"\r\n") { 2 } else { 1 };
    let body = bytes.get(at + breaks..)?;
    let mut out = Vec::with_capacity(bytes.len());
    for (i, line) in lines(&bytes[..at]).enumerate() {
        if i == 0 && line != b"ply" {
            return None;
        }
        if line.starts_with(b"comment") || line.starts_with(b"obj_info") {
            continue;
        }
        out.extend_from_slice(line);
        out.push(b'\n');
    }
    out.extend_from_slice(body);
    Some(out)
}

/// Vertices and faces; names, groups, materials and remarks are other lines.
fn obj(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(bytes.len());
    let (mut vertices, mut faces) = (0, 0);
    for line in lines(bytes) {
        match line.first_chunk::<2>() {
            Some(b"v " | b"v\t") => vertices += 1,
            Some(b"f " | b"f\t") => faces += 1,
            _ => continue,
        }
        if line.first() == Some(&b'f') {
            // Of each corner only its vertex: the other numbers are of lines that are left out.
            out.push(b'f');
            for corner in line[1..].split(u8::is_ascii_whitespace).filter(|c| !c.is_empty()) {
                out.push(b' ');
                out.extend_from_slice(corner.split(|b| *b == b'/').next().unwrap_or_default());
            }
        } else {
            out.extend_from_slice(line);
        }
        out.push(b'\n');
    }
    (vertices > 2 && faces > 0).then_some(out)
}

fn lines(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    bytes.split(|b| *b == b'\n').map(|line| line.strip_suffix(b"\r").unwrap_or(line))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holds(bytes: &[u8], part: &str) -> bool {
        bytes.windows(part.len()).any(|w| w == part.as_bytes())
    }

    fn png_part(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
        let length = (content.len() as u32).to_be_bytes();
        [&length[..], name, content, &[0; 4]].concat()
    }

    #[test]
    fn a_picture_leaves_its_notes_behind() {
        let whole = [
            PNG.to_vec(),
            png_part(b"IHDR", &[0; 13]),
            png_part(b"tEXt", b"Author\0Somebody"),
            png_part(b"eXIf", b"GPS 51.1 N"),
            png_part(b"IDAT", b"pixels"),
            png_part(b"IEND", b""),
            b"behind the end".to_vec(),
        ]
        .concat();
        let out = bare(SourceKind::Png, &whole).expect("a picture");
        assert!(holds(&out, "pixels") && out.ends_with(&[0; 4]));
        for gone in ["Somebody", "GPS", "tEXt", "eXIf", "behind"] {
            assert!(!holds(&out, gone), "{gone}");
        }
        let segment = |marker: u8, content: &[u8]| {
            let length = (content.len() as u16 + 2).to_be_bytes();
            [&[0xff, marker][..], &length, content].concat()
        };
        let whole = [
            b"\xff\xd8".to_vec(),
            segment(0xe1, b"Exif\0\0 GPS 51.1 N"),
            segment(0xfe, b"a remark"),
            segment(0xee, b"Adobe\0colours"),
            segment(0xdb, b"table"),
            segment(0xc0, b"frame"),
            segment(0xda, b"scan"),
            b"co\xff\x00ded\xff\xd0more".to_vec(),
            b"\xff\xff\xd9".to_vec(),
            b"\xff\xd8 a second picture".to_vec(),
        ]
        .concat();
        let out = bare(SourceKind::Jpeg, &whole).expect("a picture");
        for kept in ["Adobe", "table", "frame", "scan", "ded", "more"] {
            assert!(holds(&out, kept), "{kept}");
        }
        for gone in ["Exif", "GPS", "remark", "second"] {
            assert!(!holds(&out, gone), "{gone}");
        }
    }

    #[test]
    fn a_mesh_leaves_its_names_behind() {
        let mut binary = b"PATIENT Somebody".to_vec();
        binary.resize(STL_HEAD, b' ');
        binary.extend_from_slice(&1u32.to_le_bytes());
        binary.extend_from_slice(&[7; STL_TRIANGLE]);
        let out = bare(SourceKind::Stl, &binary).expect("a mesh");
        assert!(out.len() == binary.len() && !holds(&out, "Somebody"));
        let written = b"solid Somebody\nfacet normal 0 0 1\nendsolid Somebody\n";
        let out = bare(SourceKind::Stl, written).expect("a mesh");
        assert!(holds(&out, "facet normal 0 0 1") && !holds(&out, "Somebody"));
        let ply = b"ply\r\nformat ascii 1.0\r\ncomment Somebody\r\nobj_info 1970\r\nend_header\r\n0 0 0\n";
        let out = bare(SourceKind::Ply, ply).expect("a mesh");
        assert_eq!(out, b"ply\nformat ascii 1.0\nend_header\n0 0 0\n");
        let obj =
            b"# Somebody\no Somebody\nv 0 0 0\nv 1 0 0\nv 0 1 0\nvn 0 0 1\nf 1//1 2//1 3//1\n";
        let out = bare(SourceKind::Obj, obj).expect("a mesh");
        assert_eq!(out, b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n");
    }

    #[test]
    fn what_is_broken_is_refused_and_nothing_panics() {
        use SourceKind::{Jpeg, Obj, Ply, Png, Stl};
        for kind in [Png, Jpeg, Stl, Ply, Obj] {
            for bytes in [
                &b""[..],
                b"text",
                b"solid",
                b"ply",
                b"\xff\xd8",
                b"\xff\xd8\xff\xda\x00",
                PNG,
                &[0; 84][..83],
            ] {
                assert!(bare(kind, bytes).is_err(), "{kind:?} {bytes:?}");
            }
        }
        let cut = [PNG, &png_part(b"IHDR", &[0; 13])[..], &[0, 0, 9, 9], b"IDAT"].concat();
        assert!(bare(Png, &cut).is_err());
    }
}
