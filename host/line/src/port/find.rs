//! Serial ports there are, likeliest first.

use serialport::SerialPortType;

/// A serial port of this computer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Path or name, for `--port`.
    pub path: String,
    /// What the system knows of it.
    pub what: String,
    /// Whether it is on USB: those are asked first.
    pub usb: bool,
}

/// Lists the serial ports. An unreadable system gives none, which `ports` says in words.
#[must_use]
pub fn found_ports() -> Vec<Found> {
    let mut found: Vec<Found> = serialport::available_ports()
        .unwrap_or_default()
        .into_iter()
        .map(|port| {
            let (what, usb) = describe(&port.port_type);
            Found { path: port.port_name, what, usb }
        })
        .collect();
    found.sort_by(|a, b| b.usb.cmp(&a.usb).then_with(|| a.path.cmp(&b.path)));
    found
}

fn describe(kind: &SerialPortType) -> (String, bool) {
    match kind {
        SerialPortType::UsbPort(usb) => {
            let name = usb.product.as_deref().unwrap_or("USB serial port");
            (format!("{name} ({:04x}:{:04x})", usb.vid, usb.pid), true)
        }
        SerialPortType::BluetoothPort => ("Bluetooth".to_owned(), false),
        SerialPortType::PciPort => ("built in".to_owned(), false),
        SerialPortType::Unknown => ("unknown".to_owned(), false),
    }
}
