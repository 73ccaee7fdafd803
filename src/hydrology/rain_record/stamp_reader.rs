//! Reading the time stamps of a record one after the other, on one clock.

use super::moment::DAY;
use super::options::DateOrder;
use super::stamp::{Clock, Layout, Zone, stamp_of};

/// What became of a stamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Told {
    /// Seconds on the record's own clock.
    pub(super) seconds: i64,
    /// Whether its offset is not that of the record's own clock.
    pub(super) converted: bool,
}

/// Reads stamps row by row, on the clock of the first one.
pub(super) struct StampReader {
    pub(super) layout: Layout,
    pub(super) order: Option<DateOrder>,
    /// What the first row said of its clock.
    own: Option<Zone>,
    /// What stood before the hour and behind the minute in the row before, and the seconds that both make up.
    before: Vec<u8>,
    behind: Vec<u8>,
    base: i64,
}

impl StampReader {
    pub(super) fn new(layout: Layout, order: Option<DateOrder>) -> Self {
        Self { layout, order, own: None, before: Vec::new(), behind: Vec::new(), base: 0 }
    }

    /// The row's time, or nothing where it cannot be read. A stamp with an offset in a record without, or without one
    /// in a record with, cannot: either would be a guess.
    #[inline]
    pub(super) fn read(&mut self, cells: &[&[u8]]) -> Option<Told> {
        if let (Layout::Stamp, [cell]) = (self.layout, cells)
            && let Some(seconds) = self.like_before(cell)
        {
            return Some(Told { seconds, converted: false });
        }
        self.read_anew(cells)
    }

    /// Most rows share all but hour and minute with the row before.
    #[inline]
    fn like_before(&self, cell: &[u8]) -> Option<i64> {
        let rest = cell.strip_prefix(self.before.as_slice())?;
        let [ten_hours, hours, b':', ten_minutes, minutes, behind @ ..] = rest else { return None };
        if self.before.is_empty() || behind != self.behind {
            return None;
        }
        let digit = |byte: &u8| Some(i64::from(byte.wrapping_sub(b'0'))).filter(|digit| *digit <= 9);
        let hour = digit(ten_hours)? * 10 + digit(hours)?;
        let minute = digit(ten_minutes)? * 10 + digit(minutes)?;
        (hour <= 23 && minute <= 59).then_some(self.base + hour * 3_600 + minute * 60)
    }

    fn read_anew(&mut self, cells: &[&[u8]]) -> Option<Told> {
        let stamp = stamp_of(self.layout, cells)?;
        let day_start = stamp.date.days(self.order)? * DAY;
        let zone = stamp.clock.map_or(Zone::Unsaid, |clock| clock.zone);
        let own = *self.own.get_or_insert(zone);
        let shift = match (own, zone) {
            (Zone::Unsaid, Zone::Unsaid) => 0,
            (Zone::Ahead(own), Zone::Ahead(ahead)) => own - ahead,
            _ => return None,
        };
        let clock = stamp.clock.map_or(0, |clock| clock.seconds);
        let seconds = day_start + clock + shift;
        if let (Layout::Stamp, [cell]) = (self.layout, cells) {
            self.remember(cell, stamp.clock, seconds);
        }
        Some(Told { seconds, converted: shift != 0 })
    }

    fn remember(&mut self, cell: &[u8], clock: Option<Clock>, seconds: i64) {
        self.before.clear();
        let Some(clock) = clock.filter(|clock| !clock.halved) else { return };
        let Some(colon) = cell.iter().position(|byte| *byte == b':') else { return };
        let parts =
            (cell.get(..colon.saturating_sub(2)), cell.get(colon.saturating_sub(2)..colon), cell.get(colon + 3..));
        // the colon may be that of an offset behind `1405`; a leap second is of the next minute
        if let (Some(before @ [.., b'T' | b't' | b' ' | b',']), Some([b'0'..=b'9', b'0'..=b'9']), Some(behind)) = parts
            && !behind.starts_with(b":60")
        {
            self.before.extend_from_slice(before);
            self.behind.clear();
            self.behind.extend_from_slice(behind);
            self.base = seconds - clock.seconds / 60 * 60;
        }
    }
}
