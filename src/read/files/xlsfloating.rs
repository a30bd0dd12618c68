//! Comments, text boxes and pictures of an xls file. Records and their numbers are those of [MS-XLS], Excel Binary File Format,
//! there called Note, Obj, TxO and MsoDrawing: an object gives its number, a text follows it, comments say which object is
//! theirs, and the drawing before an object says over which cells it lies.

use std::collections::BTreeMap;

use super::floating::{Floating, Floats, TALL};
use super::xlsmarks::{Records, letters, short};

/// Numbers of the records looked at.
mod record {
    pub const END: u16 = 0x000A;
    pub const NOTE: u16 = 0x001C;
    pub const CONTINUE: u16 = 0x003C;
    pub const OBJECT: u16 = 0x005D;
    pub const DRAWING: u16 = 0x00EC;
    pub const TEXT: u16 = 0x01B6;
    pub const BEGIN: u16 = 0x0809;
}

/// The texts above the sheet that begins the stream.
pub(crate) fn of_sheet(stream: &[u8]) -> Vec<Floating> {
    let mut texts: BTreeMap<u16, String> = BTreeMap::new();
    let mut notes: BTreeMap<u16, (u32, usize)> = BTreeMap::new();
    let (mut within, mut object) = (0u32, 0u16);
    let (mut corners, mut pictures): (Option<(Corner, Corner)>, Vec<Corner>) = (None, Vec::new());
    let mut records = Records { rest: stream };
    records.next();
    while let Some((kind, data)) = records.next() {
        match kind {
            record::BEGIN => within += 1,
            record::END if within == 0 => break,
            record::END => within -= 1,
            _ if within > 0 => {}
            // The first part of an object: its own kind and length, what it is, its number.
            record::OBJECT => {
                object = short(data, 6).unwrap_or_default();
                let anchor = corners.take().filter(|(from, to)| to.0.saturating_sub(from.0) >= TALL);
                pictures.extend(anchor.filter(|_| short(data, 4) == Some(PICTURE)).map(|(from, _)| from));
            }
            record::DRAWING => corners = anchor(data).or(corners),
            record::TEXT => {
                // Behind flags, turn and what is reserved stands how many letters follow in the next records.
                let count = short(data, 10).unwrap_or_default().into();
                texts.insert(object, continued(&mut records, count));
            }
            record::NOTE => {
                let (Some(row), Some(column), Some(object)) = (short(data, 0), short(data, 2), short(data, 6)) else {
                    continue;
                };
                notes.insert(object, (u32::from(row) + 1, column.into()));
            }
            _ => {}
        }
    }
    let text = |(object, text): (u16, String)| match notes.get(&object) {
        Some(at) => Floating::text(Floats::Comment, *at, &text),
        // Where a box stands is said in the drawing, which is not read.
        None => Floating::text(Floats::Box, (1, 0), &text),
    };
    let pictures = pictures.into_iter().map(Floating::picture);
    texts.into_iter().filter_map(text).chain(pictures).collect()
}

/// The kind of an object that is a picture.
const PICTURE: u16 = 8;

/// Row from 1 and column from 0.
type Corner = (u32, usize);

/// The first and the last cell under a shape: the last anchor in a part of the drawing, of eighteen bytes behind the number
/// of its kind. Flags stand first, then column, how far into it, row, how far into it, and the same of the other corner.
fn anchor(data: &[u8]) -> Option<(Corner, Corner)> {
    const HEAD: [u8; 6] = [0x10, 0xF0, 0x12, 0, 0, 0];
    let at = data.windows(HEAD.len()).enumerate().rfind(|(_, head)| *head == HEAD)?.0 + HEAD.len();
    let corner = |from: usize| Some((u32::from(short(data, at + from + 4)?) + 1, usize::from(short(data, at + from)?)));
    Some((corner(2)?, corner(10)?))
}

/// So many letters of the records that go on with a text.
fn continued(records: &mut Records<'_>, count: usize) -> String {
    let mut text = String::new();
    let mut left = count;
    while left > 0 {
        let mut behind = Records { rest: records.rest };
        let Some((record::CONTINUE, data)) = behind.next() else { break };
        records.rest = behind.rest;
        let Some((flags, data)) = data.split_first() else { break };
        let wide = if flags & 1 == 0 { 1 } else { 2 };
        let here = (data.len() / wide).min(left);
        if here == 0 {
            break;
        }
        text.push_str(&letters(data, here, *flags));
        left -= here;
    }
    text
}
