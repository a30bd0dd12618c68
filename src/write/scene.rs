//! A drawing as lines, boxes and words in hundredths of an inch of the thing drawn, whole numbers throughout; and its
//! form as SVG text. `raster` makes the picture of it.

use std::fmt::Write as _;

/// A drawing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Scene {
    /// Width, hundredths of an inch.
    pub width: i32,
    /// Height.
    pub height: i32,
    /// What it shows, in words.
    pub words: String,
    /// What is drawn, in order.
    pub shapes: Vec<Shape>,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// Outline of door and frame.
    Heavy,
    /// Hardware.
    Plain,
    /// Dimensions and leaders.
    Thin,
    /// Wires, hidden behind what is drawn.
    Wire,
}

impl Pen {
    /// Width of the line.
    pub fn width(self) -> i32 {
        match self {
            Pen::Heavy => 45,
            Pen::Plain => 28,
            Pen::Thin => 14,
            Pen::Wire => 34,
        }
    }

    /// Lengths of dash and gap; none for a whole line.
    pub fn dash(self) -> Option<(i32, i32)> {
        (self == Pen::Wire).then_some((160, 90))
    }
}

/// What a shape is filled with. Few shades, told apart in black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    None,
    /// White, over what is behind.
    White,
    /// Light grey.
    Light,
    /// Black.
    Black,
}

/// To which side of its point a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Is centred there.
    Middle,
    /// Ends there.
    End,
}

/// One thing drawn. Points are right and down from the upper left corner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shape {
    /// A line over points.
    Line(Vec<(i32, i32)>, Pen),
    /// A box: corner, width and height.
    Box((i32, i32), (i32, i32), Pen, Fill),
    /// Words: where the foot of the letters begins, their height.
    Words((i32, i32), i32, Anchor, String),
}

impl Scene {
    /// Adds a line.
    pub fn line(&mut self, points: &[(i32, i32)], pen: Pen) {
        self.shapes.push(Shape::Line(points.to_vec(), pen));
    }

    /// Adds a box.
    pub fn area(&mut self, corner: (i32, i32), size: (i32, i32), pen: Pen, fill: Fill) {
        self.shapes.push(Shape::Box(corner, size, pen, fill));
    }

    /// Adds words.
    pub fn words(&mut self, at: (i32, i32), height: i32, anchor: Anchor, words: impl Into<String>) {
        self.shapes.push(Shape::Words(at, height, anchor, words.into()));
    }

    /// The drawing as SVG; its width and height are those of the thing at the scale 1/2 in to the foot.
    pub fn svg(&self) -> String {
        let (width, height) = (self.width, self.height);
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{}pt\" height=\"{}pt\" viewBox=\"0 0 {width} {height}\">\n<title>{}</title>\n<rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\n",
            points(width),
            points(height),
            escaped(&self.words)
        );
        for shape in &self.shapes {
            match shape {
                Shape::Line(points, pen) => {
                    let points: Vec<String> = points.iter().map(|(x, y)| format!("{x},{y}")).collect();
                    let _ = writeln!(svg, "<polyline points=\"{}\" fill=\"none\" {}/>", points.join(" "), stroke(*pen));
                }
                Shape::Box((x, y), (width, height), pen, fill) => {
                    let fill = match fill {
                        Fill::None => "none",
                        Fill::White => "#fff",
                        Fill::Light => "#ddd",
                        Fill::Black => "#000",
                    };
                    let _ = writeln!(
                        svg,
                        "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"{fill}\" {}/>",
                        stroke(*pen)
                    );
                }
                Shape::Words((x, y), height, anchor, words) => {
                    let anchor = match anchor {
                        Anchor::Start => "start",
                        Anchor::Middle => "middle",
                        Anchor::End => "end",
                    };
                    // Capitals of usual letters are about seven tenths of their size.
                    let size = height * 10 / 7;
                    let _ = writeln!(
                        svg,
                        "<text x=\"{x}\" y=\"{y}\" font-family=\"Arial, Helvetica, sans-serif\" font-size=\"{size}\" text-anchor=\"{anchor}\">{}</text>",
                        escaped(words)
                    );
                }
            }
        }
        svg.push_str("</svg>\n");
        svg
    }
}

/// Points of paper for a length at the scale 1/2 in to the foot: an inch of the door is three points.
pub fn points(hundredths: i32) -> i32 {
    hundredths * 3 / 100
}

fn stroke(pen: Pen) -> String {
    let dash = pen.dash().map(|(dash, gap)| format!(" stroke-dasharray=\"{dash} {gap}\"")).unwrap_or_default();
    format!("stroke=\"#000\" stroke-width=\"{}\"{dash}", pen.width())
}

fn escaped(text: &str) -> String {
    let plain: String = text.chars().filter(|letter| !letter.is_control()).collect();
    plain.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A text in lines of at most so many letters, broken between words.
pub fn broken(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.last_mut().map_or(0, |line| line.chars().count());
        if last > 0 && last + 1 + word.chars().count() > most {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}
