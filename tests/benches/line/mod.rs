//! What is measured, and the resulting table.

mod office;
mod relay;
mod zmodem;

use std::time::Duration;

/// 115,200 baud, ten bits per byte.
pub(crate) const LINE: f64 = 11_520.0;
/// Records of a long day.
const RECORDS: u32 = 3_000;

/// One row of the table.
pub(crate) struct Figure {
    pub(crate) what: String,
    pub(crate) payload: u64,
    pub(crate) took: Duration,
}

impl Figure {
    fn print(&self) {
        let rate = self.payload as f64 / self.took.as_secs_f64();
        println!(
            "| {:<52} | {:>7} | {:>6.2} s | {:>6.0} B/s | {:>5.1} % |",
            self.what,
            self.payload,
            self.took.as_secs_f64(),
            rate,
            100.0 * rate / LINE
        );
    }
}

pub(crate) fn figures() {
    println!("| {:<52} | payload |   time   | rate       | of line |", "over 115,200 baud 8N1");
    println!("| --- | --- | --- | --- | --- |");
    let mut bytes = 0;
    for latency in [Duration::from_micros(500), Duration::from_millis(16)] {
        let pulled = office::pull(RECORDS, latency);
        bytes = pulled.sealed_bytes;
        for figure in [pulled.stream, pulled.whole] {
            figure.print();
        }
        println!(
            "  {} records, {:.1} sealed bytes and {:.2} bytes on the wire a record",
            pulled.records,
            pulled.sealed_bytes as f64 / pulled.records as f64,
            pulled.wire_bytes as f64 / pulled.records as f64
        );
    }
    match zmodem::send(bytes, Duration::from_micros(500)) {
        Some(figure) => figure.print(),
        None => println!("  ZMODEM: sz and rz are not installed (Debian: lrzsz)"),
    }
}
