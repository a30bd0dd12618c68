//! Makes the picture of a scene: the only file that knows the drawing libraries, which work in floats. They place ink
//! on paper and nothing else: no dimension is reckoned from them.
//!
//! A page of doors has dozens of pictures, so it matters how they are made: grey from the start, upright lines and boxes
//! on whole pixels (they are also crisper so), and each letter drawn once and stamped.
#![allow(
    clippy::float_arithmetic,
    reason = "the drawing library takes floats; whole hundredths become pixels here only"
)]

use std::collections::HashMap;

use png::{BitDepth, ColorType, Compression, Encoder, Filter};
use tiny_skia::{FillRule, LineCap, LineJoin, Mask, PathBuilder, Stroke, StrokeDash, Transform};

use super::scene::{Anchor, Fill, Pen, Scene, Shape};
use super::strokes;

/// Pixels for an inch of the thing drawn: three points of paper at the drawing's scale, so about 150 pixels an inch of paper.
const PIXELS: i32 = 6;
/// Largest side of a picture.
const MOST: usize = 4_000;
/// The shades of a picture, two bits each: ink, its soft edge, a light ground, paper.
const SHADES: [u8; 4] = [0, 110, 221, 255];
const INK: u8 = 0;
const LIGHT: u8 = 2;
const PAPER: u8 = 3;

/// Letters drawn so far, by letter and height, and the room for a sheet: the drawings of a job share them.
#[derive(Default)]
pub struct Stamps {
    letters: HashMap<(char, i32), Option<Stamp>>,
    shades: Vec<u8>,
    packed: Vec<u8>,
}

/// The scene as PNG in four shades.
///
/// # Errors
/// When the picture would be too large or the library refuses; a message.
pub fn png(scene: &Scene, stamps: &mut Stamps) -> Result<Vec<u8>, String> {
    let side = |length: i32| usize::try_from(pixel(length.max(100))).unwrap_or(1);
    let (width, height) = (side(scene.width), side(scene.height));
    if width > MOST || height > MOST {
        return Err(format!("the drawing \"{}\" is too large: {width} by {height} pixels", scene.words));
    }
    let mut shades = std::mem::take(&mut stamps.shades);
    // Only what the room grows by is made one by one; all of it is wiped in one go.
    shades.resize(width * height, PAPER);
    shades.fill(PAPER);
    let mut sheet = Sheet { width, height, shades };
    for shape in &scene.shapes {
        sheet.draw(shape, stamps);
    }
    let file = sheet.encoded(&mut stamps.packed);
    stamps.shades = sheet.shades;
    file.map_err(|error| format!("cannot make the picture \"{}\": {error}", scene.words))
}

/// The nearest pixel to a length in hundredths of an inch.
fn pixel(hundredths: i32) -> i32 {
    (hundredths * PIXELS + 50).div_euclid(100)
}

/// Pixels of a length, with the parts between them.
fn exact(hundredths: i32) -> f32 {
    (hundredths * PIXELS) as f32 / 100.0
}

/// Ink that was drawn once, to be put down anywhere.
struct Stamp {
    /// Its pixels, row by row.
    shades: Vec<u8>,
    width: i32,
    /// From the point it belongs to up to its upper left corner.
    left: i32,
    up: i32,
}

struct Sheet {
    width: usize,
    height: usize,
    shades: Vec<u8>,
}

impl Sheet {
    fn draw(&mut self, shape: &Shape, stamps: &mut Stamps) {
        match shape {
            Shape::Line(points, pen) => self.polyline(points, *pen),
            Shape::Box((x, y), (width, height), pen, fill) => {
                let shade = match fill {
                    Fill::None => None,
                    Fill::White => Some(PAPER),
                    Fill::Light => Some(LIGHT),
                    Fill::Black => Some(INK),
                };
                let (right, bottom) = (x + width, y + height);
                if let Some(shade) = shade {
                    self.fill((pixel(*x), pixel(*y)), (pixel(right), pixel(bottom)), shade);
                }
                self.polyline(&[(*x, *y), (right, *y), (right, bottom), (*x, bottom), (*x, *y)], *pen);
            }
            Shape::Words(at, height, anchor, words) => self.write((*at, *anchor), *height, words, stamps),
        }
    }

    /// Fills the pixels from one corner up to another; what lies off the sheet is left out.
    fn fill(&mut self, (left, top): (i32, i32), (right, bottom): (i32, i32), shade: u8) {
        let within = |at: i32, most: usize| usize::try_from(at).unwrap_or(0).min(most);
        let columns = within(left, self.width)..within(right, self.width);
        for row in within(top, self.height)..within(bottom, self.height) {
            let from = row * self.width;
            self.shades[from + columns.start..from + columns.end.max(columns.start)].fill(shade);
        }
    }

    fn polyline(&mut self, points: &[(i32, i32)], pen: Pen) {
        for ends in points.windows(2) {
            let [from, to] = [ends[0], ends[1]];
            if from.0 == to.0 || from.1 == to.1 { self.upright(from, to, pen) } else { self.slanted(from, to, pen) }
        }
    }

    /// A line along a row or column of pixels. Its ends reach half its width further, so that corners are whole.
    fn upright(&mut self, from: (i32, i32), to: (i32, i32), pen: Pen) {
        let wide = pixel(pen.width()).max(1);
        let (low, high) = (from.min(to), from.max(to));
        let (dash, gap) = pen.dash().unwrap_or((i32::MAX, 0));
        let along = if low.0 == high.0 { high.1 - low.1 } else { high.0 - low.0 };
        let mut start = 0;
        while start <= along {
            let end = start.saturating_add(dash).min(along);
            let at = |step: i32| if low.0 == high.0 { (low.0, low.1 + step) } else { (low.0 + step, low.1) };
            let ((left, top), (right, bottom)) = (at(start), at(end));
            let corner = (pixel(left) - wide / 2, pixel(top) - wide / 2);
            self.fill(corner, (pixel(right) - wide / 2 + wide, pixel(bottom) - wide / 2 + wide), INK);
            start = end.saturating_add(gap.max(1));
        }
    }

    fn slanted(&mut self, from: (i32, i32), to: (i32, i32), pen: Pen) {
        let corner = (from.0.min(to.0), from.1.min(to.1));
        let near = |(x, y): (i32, i32)| (x - corner.0, y - corner.1);
        let dash = pen.dash().and_then(|(dash, gap)| StrokeDash::new(vec![exact(dash), exact(gap)], 0.0));
        let pen = Stroke { width: exact(pen.width()), dash, line_cap: LineCap::Butt, ..Stroke::default() };
        if let Some(stamp) = stamp(&[vec![near(from), near(to)]], &pen) {
            put(&mut self.shades, (self.width, self.height), &stamp, (pixel(corner.0), pixel(corner.1)));
        }
    }

    /// Words in drawn letters: no font is needed, and they are the same everywhere.
    fn write(&mut self, ((x, y), anchor): ((i32, i32), Anchor), height: i32, words: &str, stamps: &mut Stamps) {
        let length = strokes::length(words, height);
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - length / 2,
            Anchor::End => x - length,
        };
        for (index, letter) in words.chars().enumerate() {
            let stamp = stamps.letters.entry((letter, height)).or_insert_with(|| {
                let pen = Stroke {
                    width: exact(height / 8),
                    line_cap: LineCap::Round,
                    line_join: LineJoin::Round,
                    ..Stroke::default()
                };
                stamp(&strokes::letter(letter, height), &pen)
            });
            if let Some(stamp) = stamp {
                let at = (pixel(left + strokes::place(index, height)), pixel(y));
                put(&mut self.shades, (self.width, self.height), stamp, at);
            }
        }
    }

    fn encoded(&self, packed: &mut Vec<u8>) -> Result<Vec<u8>, png::EncodingError> {
        let side = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
        let mut file = Vec::new();
        let mut encoder = Encoder::new(&mut file, side(self.width), side(self.height));
        encoder.set_color(ColorType::Indexed);
        encoder.set_depth(BitDepth::Two);
        encoder.set_palette(SHADES.iter().flat_map(|shade| [*shade; 3]).collect::<Vec<u8>>());
        encoder.set_compression(Compression::Fast);
        // A row of a drawing is mostly the one above it.
        encoder.set_filter(Filter::Up);
        let mut writer = encoder.write_header()?;
        let side = self.width.div_ceil(4);
        packed.clear();
        packed.resize(side * self.height, 0);
        let mut above: Option<&[u8]> = None;
        for (index, row) in self.shades.chunks_exact(self.width).enumerate() {
            let start = index * side;
            // Most rows of a drawing are the one above them, which is soon seen.
            if above == Some(row) {
                packed.copy_within(start - side..start, start);
            } else {
                pack(row, &mut packed[start..start + side]);
            }
            above = Some(row);
        }
        writer.write_image_data(packed)?;
        writer.finish()?;
        Ok(file)
    }
}

/// Packs shades, four to a byte, the first in its uppermost bits; what is left over of the last byte is paper.
fn pack(row: &[u8], packed: &mut [u8]) {
    // Each of the four lands beside the others in the uppermost byte.
    let byte = |four: [u8; 4]| (u32::from_le_bytes(four).wrapping_mul(0x4010_0401) >> 24) as u8;
    let (fours, rest) = row.as_chunks::<4>();
    for (packed, four) in packed.iter_mut().zip(fours) {
        *packed = byte(*four);
    }
    if let (false, Some(last)) = (rest.is_empty(), packed.last_mut()) {
        let mut four = [PAPER; 4];
        four[..rest.len()].copy_from_slice(rest);
        *last = byte(four);
    }
}

/// The ink of some lines about the point they start from; none where there is nothing to draw.
fn stamp(lines: &[Vec<(i32, i32)>], pen: &Stroke) -> Option<Stamp> {
    let mut path = PathBuilder::new();
    for line in lines {
        for (index, (x, y)) in line.iter().enumerate() {
            if index == 0 { path.move_to(exact(*x), exact(*y)) } else { path.line_to(exact(*x), exact(*y)) }
        }
    }
    let path = path.finish()?;
    let path = match &pen.dash {
        Some(dash) => path.dash(dash, 1.0)?,
        None => path,
    };
    let outline = path.stroke(pen, 1.0)?;
    let bounds = outline.bounds();
    // A pixel of margin on each side, so that soft edges are whole.
    let (left, up) = (bounds.left().floor() as i32 - 1, bounds.top().floor() as i32 - 1);
    let side = |from: i32, to: f32| u32::try_from(to.ceil() as i32 + 1 - from).ok();
    let mut ink = Mask::new(side(left, bounds.right())?, side(up, bounds.bottom())?)?;
    ink.fill_path(&outline, FillRule::Winding, true, Transform::from_translate(-left as f32, -up as f32));
    let shades = ink.data().iter().map(|ink| NEAREST[usize::from(u8::MAX - ink)]).collect();
    Some(Stamp { shades, width: ink.width() as i32, left, up })
}

/// The number of the shade nearest to each grey; of two as near, the darker.
const NEAREST: [u8; 256] = {
    let mut nearest = [INK; 256];
    let mut grey = 0;
    while grey < nearest.len() {
        let mut shade = INK + 1;
        while shade <= PAPER {
            if SHADES[shade as usize].abs_diff(grey as u8) < SHADES[nearest[grey] as usize].abs_diff(grey as u8) {
                nearest[grey] = shade;
            }
            shade += 1;
        }
        grey += 1;
    }
    nearest
};

/// Darkens a sheet of shades, of a width and height, by a stamp whose point is at a pixel. What lies off the sheet is left out.
fn put(shades: &mut [u8], (width, height): (usize, usize), stamp: &Stamp, (x, y): (i32, i32)) {
    let (left, top) = (x + stamp.left, y + stamp.up);
    let within = |at: i32| usize::try_from(at).unwrap_or(0).min(width);
    let (from, to) = (within(left), within(left + stamp.width));
    let skipped = usize::try_from(from as i32 - left).unwrap_or(0);
    for (row, darker) in (top..).zip(stamp.shades.chunks_exact(stamp.width as usize)) {
        let Some(row) = usize::try_from(row).ok().filter(|row| *row < height) else { continue };
        for (shade, dark) in shades[row * width..][from..to].iter_mut().zip(darker.iter().skip(skipped)) {
            *shade = (*shade).min(*dark);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(scene: &Scene) -> (png::OutputInfo, Vec<u8>) {
        let file = png(scene, &mut Stamps::default()).expect("the scene is small");
        let mut reader = png::Decoder::new(std::io::Cursor::new(file)).read_info().expect("a picture");
        let mut bytes = vec![0; reader.output_buffer_size().expect("it is small")];
        let info = reader.next_frame(&mut bytes).expect("a picture");
        (info, bytes)
    }

    #[test]
    fn ink_is_where_the_scene_has_it() {
        let mut scene = Scene { width: 2_000, height: 1_000, ..Scene::default() };
        scene.area((500, 250), (1_000, 500), Pen::Plain, Fill::Black);
        scene.line(&[(100, 100), (1_900, 900)], Pen::Thin);
        scene.words((0, 2_000), 300, Anchor::Start, "off the sheet");
        let (info, bytes) = drawn(&scene);
        assert_eq!((info.width, info.height, info.bit_depth), (120, 60, BitDepth::Two));
        let shade = |x: usize, y: usize| (bytes[y * info.line_size + x / 4] >> (6 - x % 4 * 2)) & 3;
        assert_eq!(shade(60, 30), INK, "within the box");
        assert_eq!(shade(4, 52), PAPER, "nothing is there");
        assert!((6..9).any(|y| shade(9, y) < PAPER), "on the slanted line");
        assert_eq!(shade(28, 13), shade(91, 46), "the outline is as wide on all sides");
    }

    #[test]
    fn shades_are_packed_four_to_a_byte() {
        for length in 0..20_usize {
            let row: Vec<u8> = (0..length).map(|at| (at * 7 % 5 % 4) as u8).collect();
            let mut packed = vec![0; length.div_ceil(4)];
            pack(&row, &mut packed);
            for at in 0..packed.len() * 4 {
                let shade = (packed[at / 4] >> (6 - at % 4 * 2)) & 3;
                assert_eq!(shade, row.get(at).copied().unwrap_or(PAPER), "{at} of {length}");
            }
        }
    }

    #[test]
    fn a_stamp_off_the_sheet_leaves_only_what_is_on_it() {
        let stamp = Stamp { shades: vec![INK; 9], width: 3, left: -1, up: -1 };
        for (at, inked) in [((0, 0), 4), ((2, 2), 9), ((4, 4), 4), ((-1, 2), 3), ((5, 2), 3), ((9, 9), 0), ((-9, 0), 0)]
        {
            let mut shades = vec![PAPER; 25];
            put(&mut shades, (5, 5), &stamp, at);
            assert_eq!(shades.iter().filter(|shade| **shade == INK).count(), inked, "{at:?}");
        }
    }

    #[test]
    fn each_letter_leaves_ink() {
        for letter in ('0'..='9').chain('A'..='Z').chain("-/.,:;'\"()+=&%#?*é".chars()) {
            let mut scene = Scene { width: 600, height: 600, ..Scene::default() };
            scene.words((100, 450), 300, Anchor::Start, letter);
            assert!(drawn(&scene).1.iter().any(|byte| *byte != 0xff), "{letter}");
        }
    }

    #[test]
    fn a_scene_beyond_all_measure_is_refused() {
        let scene = Scene { width: 1_000_000, height: 100, words: "a hangar".into(), shapes: Vec::new() };
        assert!(png(&scene, &mut Stamps::default()).is_err_and(|told| told.contains("a hangar")));
    }
}
