//! Reading the record ahead of the water.

use crate::hydrology::{RainRecord, RecordError, RecordNotes, Span, SpanRain};
use std::io::Read;
use std::sync::mpsc::SyncSender;

/// Spans handed over at a time …
const SPANS: usize = 256;
/// … or as many as this many bytes hold.
const BYTES: u64 = 1 << 20;
/// Batches that wait.
pub(super) const BATCHES: usize = 16;

/// Spans in order, neighbours of the same rain as one.
#[derive(Debug)]
pub(super) struct Batch {
    pub(super) spans: Vec<Span>,
    /// Bytes read so far.
    pub(super) bytes: u64,
}

/// Reads a record to its end, or until nobody listens any more; gives what was made of it.
pub(super) fn read_ahead<R: Read>(
    mut record: RainRecord<R>,
    send: &SyncSender<Batch>,
) -> Result<RecordNotes, RecordError> {
    let mut spans: Vec<Span> = Vec::with_capacity(SPANS);
    let mut sent = 0;
    while let Some(span) = record.next_span()? {
        if let Some(last) = spans.last_mut().filter(|last| is_same(last.rain, span.rain)) {
            last.end = span.end;
            continue;
        }
        // the last span may still grow: it stays here
        if let Some(last) = spans.last().copied()
            && (spans.len() > SPANS || record.bytes_read() >= sent + BYTES)
        {
            spans.pop();
            sent = record.bytes_read();
            let full = std::mem::replace(&mut spans, Vec::with_capacity(SPANS + 2));
            spans.push(last);
            if send.send(Batch { spans: full, bytes: sent }).is_err() {
                return Ok(record.notes().clone());
            }
        }
        spans.push(span);
    }
    // whoever does not listen wants no more
    let _ = send.send(Batch { spans, bytes: record.bytes_read() });
    Ok(record.notes().clone())
}

fn is_same(one: SpanRain, other: SpanRain) -> bool {
    match (one, other) {
        (SpanRain::Missing, SpanRain::Missing) => true,
        (SpanRain::Fell(one), SpanRain::Fell(other)) => one.ms().to_bits() == other.ms().to_bits(),
        _ => false,
    }
}
