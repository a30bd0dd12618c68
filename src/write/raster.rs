//! Makes the picture of a scene: the only file that knows the drawing library, which works in floats. They place ink
//! on paper and nothing else: no dimension is reckoned from them.
#![allow(
    clippy::float_arithmetic,
    reason = "the drawing library takes floats; whole hundredths become pixels here only"
)]

use tiny_skia::{Color, LineCap, LineJoin, Paint, PathBuilder, Pixmap, Rect, Stroke, StrokeDash, Transform};

use super::scene::{Anchor, Fill, Pen, Scene, Shape};
use super::strokes;

/// Pixels for an inch of the thing drawn: three points of paper at the drawing's scale, so about 200 pixels an inch of paper.
const PIXELS: f32 = 8.0;
/// Largest side of a picture.
const MOST: u32 = 4_000;

/// The scene as PNG.
///
/// # Errors
/// When the picture would be too large or the library refuses; a message.
pub fn png(scene: &Scene) -> Result<Vec<u8>, String> {
    let side = |length: i32| u32::try_from(length.max(100)).unwrap_or(100) * 8 / 100;
    let (width, height) = (side(scene.width), side(scene.height));
    if width > MOST || height > MOST {
        return Err(format!("the drawing \"{}\" is too large: {width} by {height} pixels", scene.words));
    }
    let mut map = Pixmap::new(width, height).ok_or("no room for a picture")?;
    map.fill(Color::WHITE);
    for shape in &scene.shapes {
        draw(&mut map, shape);
    }
    map.encode_png().map_err(|error| format!("cannot make the picture \"{}\": {error}", scene.words))
}

fn pixel(hundredths: i32) -> f32 {
    hundredths as f32 * PIXELS / 100.0
}

fn ink(shade: u8) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(shade, shade, shade, 255);
    paint
}

fn stroke(pen: Pen) -> Stroke {
    let dash = pen.dash().and_then(|(dash, gap)| StrokeDash::new(vec![pixel(dash), pixel(gap)], 0.0));
    Stroke { width: pixel(pen.width()), dash, line_cap: LineCap::Butt, line_join: LineJoin::Miter, ..Stroke::default() }
}

fn draw(map: &mut Pixmap, shape: &Shape) {
    match shape {
        Shape::Line(points, pen) => polyline(map, points, &stroke(*pen)),
        Shape::Box((x, y), (width, height), pen, fill) => {
            let shade = match fill {
                Fill::None => None,
                Fill::White => Some(255),
                Fill::Light => Some(221),
                Fill::Black => Some(0),
            };
            let area = Rect::from_xywh(pixel(*x), pixel(*y), pixel(*width), pixel(*height));
            if let (Some(area), Some(shade)) = (area, shade) {
                map.fill_rect(area, &ink(shade), Transform::identity(), None);
            }
            let (right, bottom) = (x + width, y + height);
            let corners = [(*x, *y), (right, *y), (right, bottom), (*x, bottom), (*x, *y)];
            polyline(map, &corners, &stroke(*pen));
        }
        Shape::Words(at, height, anchor, words) => write(map, *at, *height, *anchor, words),
    }
}

fn polyline(map: &mut Pixmap, points: &[(i32, i32)], stroke: &Stroke) {
    let mut path = PathBuilder::new();
    for (index, (x, y)) in points.iter().enumerate() {
        if index == 0 { path.move_to(pixel(*x), pixel(*y)) } else { path.line_to(pixel(*x), pixel(*y)) }
    }
    if let Some(path) = path.finish() {
        map.stroke_path(&path, &ink(0), stroke, Transform::identity(), None);
    }
}

/// Words in drawn letters: no font is needed, and they are the same everywhere.
fn write(map: &mut Pixmap, (x, y): (i32, i32), height: i32, anchor: Anchor, words: &str) {
    let length = strokes::length(words, height);
    let left = match anchor {
        Anchor::Start => x,
        Anchor::Middle => x - length / 2,
        Anchor::End => x - length,
    };
    let pen =
        Stroke { width: pixel(height / 8), line_cap: LineCap::Round, line_join: LineJoin::Round, ..Stroke::default() };
    for line in strokes::lines(words, (left, y), height) {
        polyline(map, &line, &pen);
    }
}
