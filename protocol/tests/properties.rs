//! What must hold for all records, messages and lines, tested with many generated ones.

#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_protocol::frame::{self, Frame, FrameError, RequestId};
use hornrule_protocol::limits::{
    FRAME_OVERHEAD, MAX_BATCH, MAX_BODY, MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE, MAX_SEALED,
    MAX_TRACE, MAX_TRACE_ON_WIRE, SEAL_OVERHEAD, on_wire,
};
use hornrule_protocol::message::{Hello, Refusal, State};
use hornrule_protocol::record::{
    CalliperFault, CalliperKind, Done, Finding, Reading, StartCause, Started, UnitMode,
};
use hornrule_protocol::seal::{CRC, ShapeError};
use hornrule_protocol::trace::{self, Trace};
use hornrule_protocol::{
    Action, AnimalNumber, Boot, Claw, Deframer, DeviceId, Dimension, Entry, Foot, HerdNumber,
    Iso11784, Lesion, LogId, Nanometres, OpenError, Place, Record, Request, Response, Scale,
    Sealed, Seq, Side, Uptime, Zone, open, seal,
};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

// ---- generated values ----

fn place() -> impl Strategy<Value = Place> {
    let side = select(vec![Side::Lateral, Side::Medial]);
    let foot = || select(Foot::ALL.to_vec());
    prop_oneof![
        Just(Place::Cow),
        foot().prop_map(Place::Foot),
        (foot(), side).prop_map(|(foot, side)| Place::Claw(Claw { foot, side })),
    ]
}

fn started() -> impl Strategy<Value = Started> {
    let cause = select(vec![
        StartCause::PowerOn,
        StartCause::BrownOut,
        StartCause::Watchdog,
        StartCause::Panic,
        StartCause::Reset,
        StartCause::Unknown,
    ]);
    (cause, any::<[u8; 3]>(), any::<u32>()).prop_map(|(cause, firmware, fault)| Started {
        cause,
        firmware,
        fault,
    })
}

fn reading() -> impl Strategy<Value = Reading> {
    let dimension = select(Dimension::all().collect::<Vec<_>>());
    let unit = select(vec![UnitMode::Millimetre, UnitMode::Inch]);
    let kind = select(vec![CalliperKind::Sync24, CalliperKind::Bcd52]);
    (any::<i32>(), dimension, place(), unit, kind).prop_map(|(nm, dimension, place, unit, kind)| {
        Reading { length: Nanometres(nm), dimension, place, unit, kind }
    })
}

fn finding() -> impl Strategy<Value = Finding> {
    let lesion = select(Lesion::all().collect::<Vec<_>>());
    let zone = option::of((0..=12u8).prop_map(|zone| Zone::new(zone).unwrap()));
    (lesion, place(), any::<u8>(), zone).prop_map(|(lesion, place, grade, zone)| Finding {
        lesion,
        place,
        grade,
        zone,
    })
}

fn animal() -> impl Strategy<Value = AnimalNumber> {
    let herd = (1..=HerdNumber::MAX).prop_map(|number| HerdNumber::new(number).unwrap());
    let tag = (0..=999u16, 0..=Iso11784::MAX_NATIONAL)
        .prop_map(|(country, national)| Iso11784::new(country, national).unwrap());
    prop_oneof![herd.prop_map(AnimalNumber::Herd), tag.prop_map(AnimalNumber::Tag)]
}

fn entry() -> impl Strategy<Value = Entry> {
    let fault = select(vec![
        CalliperFault::Silent,
        CalliperFault::WrongBits,
        CalliperFault::Nonsense,
        CalliperFault::Unsteady,
    ]);
    let action = select(Action::all().collect::<Vec<_>>());
    let scale = select(Scale::all().collect::<Vec<_>>());
    prop_oneof![
        started().prop_map(Entry::Started),
        any::<i64>().prop_map(|unix_ms| Entry::Clock { unix_ms }),
        any::<u32>().prop_map(|refused| Entry::Gap { refused }),
        any::<u32>().prop_map(|seq| Entry::Void { seq: Seq(seq) }),
        fault.prop_map(Entry::CalliperFault),
        any::<(u32, u16)>().prop_map(|(plan, animals)| Entry::PlanLoaded { plan, animals }),
        any::<u8>().prop_map(|farm| Entry::Visit { farm }),
        animal().prop_map(Entry::Animal),
        Just(Entry::AnimalLeft),
        reading().prop_map(Entry::Reading),
        finding().prop_map(Entry::Finding),
        (action, place(), any::<u8>()).prop_map(|(action, place, days)| Entry::Action(Done {
            action,
            place,
            days
        })),
        (scale, any::<u8>()).prop_map(|(scale, value)| Entry::Score { scale, value }),
        any::<(u8, u8)>().prop_map(|(bundle, parts)| Entry::Bundle { bundle, parts }),
    ]
}

fn record() -> impl Strategy<Value = Record> {
    (any::<u16>(), any::<u64>(), entry()).prop_map(|(boot, uptime, entry)| Record {
        boot: Boot(boot),
        uptime: Uptime(uptime),
        entry,
    })
}

/// A record with its names.
type Named = (DeviceId, LogId, Seq, Record);

fn named() -> impl Strategy<Value = Named> {
    (any::<u64>(), any::<u32>(), any::<u32>(), record())
        .prop_map(|(device, log, seq, record)| (DeviceId(device), LogId(log), Seq(seq), record))
}

fn sealed_of((device, log, seq, record): &Named) -> Sealed {
    seal(*device, *log, *seq, record).unwrap()
}

fn request() -> impl Strategy<Value = Request> {
    let number = any::<u32>;
    prop_oneof![
        Just(Request::Hello),
        Just(Request::Now),
        Just(Request::State),
        (number(), number(), number()).prop_map(|(log, from, credit)| Request::Read {
            log: LogId(log),
            from: Seq(from),
            credit
        }),
        number().prop_map(|batches| Request::Credit { batches }),
        (number(), number())
            .prop_map(|(log, seq)| Request::Release { log: LogId(log), through: Seq(seq) }),
        any::<i64>().prop_map(|unix_ms| Request::SetClock { unix_ms }),
    ]
}

fn hello() -> impl Strategy<Value = Hello> {
    let numbers = (any::<u32>(), any::<u32>(), any::<u32>(), any::<u32>());
    (any::<u64>(), any::<[u8; 3]>(), any::<u16>(), numbers).prop_map(
        |(device, firmware, boot, (log, first, next, released))| Hello {
            device: DeviceId(device),
            log: LogId(log),
            firmware,
            boot: Boot(boot),
            first: Seq(first),
            next: Seq(next),
            released: Seq(released),
        },
    )
}

fn state() -> impl Strategy<Value = State> {
    (any::<u64>(), any::<[u32; 5]>(), any::<u8>(), any::<bool>(), any::<u16>()).prop_map(
        |(uptime, [waiting, free, refused, torn, calliper_faults], stuck, known, mv)| State {
            uptime: Uptime(uptime),
            waiting,
            free,
            refused,
            torn,
            calliper_faults,
            stuck_keys: stuck,
            clock_known: known,
            battery_mv: mv,
        },
    )
}

/// A response; the run of records that a batch borrows is generated separately and inserted later.
fn response() -> impl Strategy<Value = Response<'static>> {
    let number = || any::<u32>().prop_map(Seq);
    let time = || (any::<u16>().prop_map(Boot), any::<u64>().prop_map(Uptime));
    let refusal = select(vec![
        Refusal::OtherLog,
        Refusal::NotYet,
        Refusal::Gone,
        Refusal::Unknown,
        Refusal::LogFull,
        Refusal::FlashFault,
    ]);
    prop_oneof![
        hello().prop_map(Response::Hello),
        time().prop_map(|(boot, uptime)| Response::Now { boot, uptime }),
        state().prop_map(Response::State),
        (number(), number()).prop_map(|(from, through)| Response::Batch {
            from,
            through,
            sealed: &[]
        }),
        number().prop_map(|next| Response::End { next }),
        number().prop_map(|through| Response::Released { through }),
        time().prop_map(|(boot, uptime)| Response::ClockSet { boot, uptime }),
        refusal.prop_map(Response::Refused),
    ]
}

fn with_run<'a>(response: &Response<'a>, run: &'a [u8]) -> Response<'a> {
    match *response {
        Response::Batch { from, through, .. } => Response::Batch { from, through, sealed: run },
        other => other,
    }
}

// ---- a second COBS, and a line ----

/// Undoes COBS straight from the rule, to check the encoder against something independent.
fn unstuff(line: &[u8]) -> Vec<u8> {
    let mut plain = Vec::new();
    let mut rest = line;
    while let Some((code, after)) = rest.split_first() {
        assert_ne!(*code, 0, "a zero inside a frame");
        let (block, next) = after.split_at(usize::from(*code) - 1);
        plain.extend_from_slice(block);
        if *code != 0xff && !next.is_empty() {
            plain.push(0);
        }
        rest = next;
    }
    plain
}

fn line_of(id: u16, request: &Request) -> Vec<u8> {
    let mut line = [0; MAX_REQUEST_ON_WIRE];
    frame::encode(RequestId(id), request, &mut line).unwrap().to_vec()
}

fn batch_line(id: u16, run: &[u8]) -> Vec<u8> {
    let mut line = [0; MAX_RESPONSE_ON_WIRE];
    let batch = Response::Batch { from: Seq(1), through: Seq(9), sealed: run };
    frame::encode(RequestId(id), &batch, &mut line).unwrap().to_vec()
}

/// What a reader makes of a line: at each end of a frame its request, or what was wrong.
type Heard = Result<(u16, Result<Request, FrameError>), FrameError>;

fn hear<const N: usize>(deframer: &mut Deframer<N>, line: &[u8]) -> Vec<Heard> {
    let mut heard = Vec::new();
    for byte in line {
        if let Some(ended) = deframer.push(*byte) {
            heard.push(ended.map(|frame| (frame.id.0, frame.message())));
        }
    }
    heard
}

fn whole(heard: &[Heard]) -> Vec<(u16, Result<Request, FrameError>)> {
    heard.iter().filter_map(|ended| ended.as_ref().ok().cloned()).collect()
}

fn flipped(bytes: &[u8], bit: usize) -> Vec<u8> {
    let mut bent = bytes.to_vec();
    bent[bit / 8] ^= 1 << (bit % 8);
    bent
}

fn opens(device: DeviceId, log: LogId, bytes: &[u8]) -> Option<Record> {
    Sealed::from_bytes(bytes).ok().and_then(|sealed| open(device, log, &sealed).ok())
}

// ---- records and their envelope ----

proptest! {
    #[test]
    fn what_is_sealed_opens_to_the_same(named in named()) {
        let (device, log, seq, record) = named;
        let sealed = sealed_of(&named);
        prop_assert!(sealed.as_bytes().len() <= MAX_SEALED);
        prop_assert_eq!(sealed.seq(), seq);
        prop_assert_eq!(open(device, log, &sealed), Ok(record));
        prop_assert_eq!(Sealed::from_bytes(sealed.as_bytes()), Ok(sealed));
    }

    #[test]
    fn a_run_comes_apart_as_it_was_put_together(
        all in vec(named(), 0..12),
        tail in 0..SEAL_OVERHEAD,
    ) {
        let sealed: Vec<Sealed> = all.iter().map(sealed_of).collect();
        let mut run: Vec<u8> = sealed.iter().flat_map(|one| one.as_bytes().to_vec()).collect();
        // A torn record at the end: fewer bytes than its own length byte says.
        let torn: Vec<u8> = [1, 30, 0, 0, 0, 0, 0, 0, 0][..tail.min(9)].to_vec();
        run.extend_from_slice(&torn);
        let mut rest = &run[..];
        for one in &sealed {
            let (first, after) = Sealed::split_first(rest).unwrap();
            prop_assert_eq!(&first, one);
            rest = after;
        }
        prop_assert_eq!(rest, &torn[..]);
        prop_assert!(Sealed::split_first(rest).is_err());
    }

    #[test]
    fn no_single_bent_bit_of_a_sealed_record_opens(named in named()) {
        let (device, log, ..) = named;
        let sealed = sealed_of(&named);
        for bit in 0..sealed.as_bytes().len() * 8 {
            prop_assert_eq!(opens(device, log, &flipped(sealed.as_bytes(), bit)), None);
        }
    }

    #[test]
    fn another_handheld_or_log_does_not_open_it(named in named(), device: u64, log: u32) {
        let sealed = sealed_of(&named);
        let (own_device, own_log, ..) = named;
        if DeviceId(device) != own_device {
            prop_assert_eq!(open(DeviceId(device), own_log, &sealed), Err(OpenError::Damaged));
        }
        if LogId(log) != own_log {
            prop_assert_eq!(open(own_device, LogId(log), &sealed), Err(OpenError::Damaged));
        }
        // The nearest neighbours, which random numbers never hit.
        for bit in 0..64 {
            let near = DeviceId(own_device.0 ^ 1 << bit);
            prop_assert_eq!(open(near, own_log, &sealed), Err(OpenError::Damaged));
        }
        for bit in 0..32 {
            let near = LogId(own_log.0 ^ 1 << bit);
            prop_assert_eq!(open(own_device, near, &sealed), Err(OpenError::Damaged));
        }
    }

    /// Integrity before version: an intact record of a newer version says so, a corrupted one is
    /// damaged.
    #[test]
    fn newer_and_damaged_are_two_answers(
        version in 2..=u8::MAX,
        body in vec(any::<u8>(), 1..=MAX_BODY),
        seq: u32,
        bit in 0..8 * SEAL_OVERHEAD,
    ) {
        let (device, log) = (DeviceId(5), LogId(6));
        let bytes = by_hand(device, log, version, seq, &body);
        let sealed = Sealed::from_bytes(&bytes).unwrap();
        prop_assert_eq!(open(device, log, &sealed), Err(OpenError::Newer { version }));
        prop_assert_eq!(sealed.seq(), Seq(seq));
        if let Ok(bent) = Sealed::from_bytes(&flipped(&bytes, bit)) {
            prop_assert_eq!(open(device, log, &bent), Err(OpenError::Damaged));
        }
    }

    /// An intact version 1 body either is a record or is malformed; it never panics.
    #[test]
    fn a_whole_body_is_a_record_or_malformed(body in vec(any::<u8>(), 1..=MAX_BODY)) {
        let (device, log) = (DeviceId(5), LogId(6));
        let sealed = Sealed::from_bytes(&by_hand(device, log, 1, 1, &body)).unwrap();
        match open(device, log, &sealed) {
            Ok(record) => {
                // The body may have padded varints; ours is never longer.
                let again = seal(device, log, Seq(1), &record).unwrap();
                prop_assert!(again.as_bytes().len() <= sealed.as_bytes().len());
                prop_assert_eq!(open(device, log, &again), Ok(record));
            }
            Err(error) => prop_assert_eq!(error, OpenError::Malformed),
        }
    }

    #[test]
    fn bytes_after_a_record_are_malformed(named in named(), extra in vec(any::<u8>(), 1..6)) {
        let (device, log, seq, _) = named;
        let sealed = sealed_of(&named);
        let bytes = sealed.as_bytes();
        let body = [&bytes[6..bytes.len() - 4], &extra[..]].concat();
        prop_assume!(body.len() <= MAX_BODY);
        let longer = Sealed::from_bytes(&by_hand(device, log, 1, seq.0, &body)).unwrap();
        prop_assert_eq!(open(device, log, &longer), Err(OpenError::Malformed));
    }

    #[test]
    fn any_bytes_are_split_and_opened_without_panic(bytes in vec(any::<u8>(), 0..200)) {
        let mut rest = &bytes[..];
        while let Ok((sealed, after)) = Sealed::split_first(rest) {
            // A four-byte checksum does not match by chance in a test of this size.
            prop_assert_eq!(open(DeviceId(1), LogId(1), &sealed), Err(OpenError::Damaged));
            prop_assert!(after.len() < rest.len());
            rest = after;
        }
        prop_assert!(rest.len() < MAX_SEALED || rest[1] == 0 || usize::from(rest[1]) > MAX_BODY);
    }
}

/// A sealed record assembled from the specification's table.
fn by_hand(device: DeviceId, log: LogId, version: u8, seq: u32, body: &[u8]) -> Vec<u8> {
    let mut bytes = vec![version, body.len() as u8];
    bytes.extend_from_slice(&seq.to_le_bytes());
    bytes.extend_from_slice(body);
    let covered = [&device.0.to_le_bytes()[..], &log.0.to_le_bytes(), &bytes].concat();
    bytes.extend_from_slice(&CRC.checksum(&covered).to_le_bytes());
    bytes
}

/// An intact version 1 body with a code that is in no table: malformed, kept, no panic.
#[test]
fn an_unknown_code_is_malformed() {
    let (device, log) = (DeviceId(5), LogId(6));
    // Boot 1, uptime 0, tag, then: lesion 99; action 99; dimension 10 after a length of zero; scale
    // 5; a place beyond the last claw; a zone of 13; a variant beyond the last.
    let bodies: [&[u8]; 7] = [
        &[1, 0, 10, 99, 0xff, 1, 0],
        &[1, 0, 11, 99, 0xff, 0],
        &[1, 0, 9, 0, 10, 0xff, 0, 0],
        &[1, 0, 12, 5, 1],
        &[1, 0, 11, 90, 12, 0],
        &[1, 0, 10, 13, 4, 1, 1, 13],
        &[1, 0, 13],
    ];
    for body in bodies {
        let sealed = Sealed::from_bytes(&by_hand(device, log, 1, 1, body)).unwrap();
        assert_eq!(open(device, log, &sealed), Err(OpenError::Malformed), "{body:?}");
    }
    // The same shapes with codes that exist do open.
    let bodies: [&[u8]; 4] = [
        &[1, 0, 10, 61, 0xff, 1, 0],
        &[1, 0, 11, 90, 0xff, 0],
        &[1, 0, 9, 0, 9, 0xff, 0, 0],
        &[1, 0, 12, 4, 1],
    ];
    for body in bodies {
        let sealed = Sealed::from_bytes(&by_hand(device, log, 1, 1, body)).unwrap();
        assert!(open(device, log, &sealed).is_ok(), "{body:?}");
    }
}

#[test]
fn bytes_that_are_no_sealed_record_say_why() {
    let whole = by_hand(DeviceId(1), LogId(1), 1, 1, &[1, 0, 8]);
    assert_eq!(Sealed::from_bytes(&[]), Err(ShapeError::Short));
    assert_eq!(Sealed::from_bytes(&whole[..whole.len() - 1]), Err(ShapeError::Short));
    assert_eq!(Sealed::from_bytes(&[&whole[..], &[0]].concat()), Err(ShapeError::Surplus));
    assert_eq!(Sealed::from_bytes(&[0; MAX_SEALED]), Err(ShapeError::Length(0)));
    // Blank flash.
    assert_eq!(Sealed::from_bytes(&[0xff; MAX_SEALED]), Err(ShapeError::Length(0xff)));
    assert_eq!(Sealed::from_bytes(&[1, MAX_BODY as u8 + 1]), Err(ShapeError::Length(31)));
}

/// Version 0 was never assigned.
#[test]
fn version_zero_is_malformed() {
    let sealed = Sealed::from_bytes(&by_hand(DeviceId(1), LogId(1), 0, 1, &[1, 0, 8])).unwrap();
    assert_eq!(open(DeviceId(1), LogId(1), &sealed), Err(OpenError::Malformed));
}

// ---- messages and frames ----

proptest! {
    /// Whatever the log says: to an office a trace frame is damaged, never a version, an echo or a
    /// message, and the frame after it is intact. A reader that looks for trace frames can read it.
    #[test]
    fn a_trace_frame_is_noise_to_an_office(number: u8, bytes in vec(any::<u8>(), 1..=MAX_TRACE)) {
        let mut line = [0; MAX_TRACE_ON_WIRE];
        let traced = trace::encode(&Trace { number, bytes: &bytes }, &mut line).unwrap();
        prop_assert_eq!(traced.iter().filter(|byte| **byte == 0).count(), 2);
        let mut deframer = Deframer::<MAX_RESPONSE_ON_WIRE>::new();
        let mut seen = Vec::new();
        for byte in [traced, &line_of(7, &Request::Hello)].concat() {
            if let Some(frame) = deframer.push(byte) {
                seen.push(frame.map(|frame| frame.message::<Request>()));
            }
        }
        prop_assert_eq!(seen, [Err(FrameError::Damaged), Ok(Ok(Request::Hello))]);
        let mut plain = traced[1..traced.len() - 1].to_vec();
        prop_assert_eq!(trace::decode(&mut plain), Some(Trace { number, bytes: &bytes }));
    }

    /// Nothing else is taken for a trace frame: no message, no corrupted trace frame.
    #[test]
    fn nothing_else_is_a_trace_frame(
        bytes in vec(any::<u8>(), 1..=MAX_TRACE),
        id: u16,
        request in request(),
        bent: prop::sample::Index,
    ) {
        let mut asked = line_of(id, &request);
        let end = asked.len() - 1;
        prop_assert_eq!(trace::decode(&mut asked[1..end]), None);
        let mut line = [0; MAX_TRACE_ON_WIRE];
        let trace = Trace { number: 1, bytes: &bytes };
        let length = trace::encode(&trace, &mut line).unwrap().len();
        let within = &line[1..length - 1];
        let mut bent = flipped(within, bent.index(within.len() * 8));
        prop_assert_ne!(trace::decode(&mut bent), Some(trace));
    }

    #[test]
    fn a_request_crosses_the_line(id: u16, request in request()) {
        let line = line_of(id, &request);
        prop_assert_eq!((line[0], line[line.len() - 1]), (0, 0));
        let plain = unstuff(&line[1..line.len() - 1]);
        prop_assert!(line.len() <= on_wire(plain.len()));
        let frame = Frame::check(&plain).unwrap();
        prop_assert_eq!((frame.id, frame.message()), (RequestId(id), Ok(request)));
        // An echo of it is noticed where an answer is expected.
        prop_assert_eq!(frame.message::<Response<'_>>(), Err(FrameError::Kind));
    }

    #[test]
    fn a_response_crosses_the_line(
        id: u16,
        response in response(),
        run in vec(any::<u8>(), 0..=MAX_BATCH),
    ) {
        let response = with_run(&response, &run);
        let mut line = [0; MAX_RESPONSE_ON_WIRE];
        let sent = frame::encode(RequestId(id), &response, &mut line).unwrap();
        let mut deframer = Deframer::<MAX_RESPONSE_ON_WIRE>::new();
        let (last, before) = sent.split_last().unwrap();
        for byte in before {
            prop_assert!(deframer.push(*byte).is_none());
        }
        let frame = deframer.push(*last).unwrap().unwrap();
        prop_assert_eq!(frame.id, RequestId(id));
        prop_assert_eq!(frame.message(), Ok(response));
    }

    /// Any buffer that is too small gives `TooLong`; the exact size is enough.
    #[test]
    fn a_frame_fits_or_says_so(id: u16, request in request()) {
        let whole = line_of(id, &request);
        for room in 0..whole.len() {
            let mut line = vec![0xaa; room];
            let sent = frame::encode(RequestId(id), &request, &mut line);
            prop_assert_eq!(sent, Err(FrameError::TooLong), "room {}", room);
        }
        let mut line = vec![0xaa; whole.len()];
        prop_assert_eq!(frame::encode(RequestId(id), &request, &mut line), Ok(&whole[..]));
    }

    #[test]
    fn no_single_bent_bit_of_a_plain_frame_passes(id: u16, request in request()) {
        let line = line_of(id, &request);
        let plain = unstuff(&line[1..line.len() - 1]);
        for bit in 0..plain.len() * 8 {
            let bent = flipped(&plain, bit);
            prop_assert_eq!(Frame::check(&bent), Err(FrameError::Damaged));
        }
    }

    /// On the line one flipped bit may move a zero or end a frame early; what is heard is the
    /// message sent, or none.
    #[test]
    fn no_single_bent_bit_on_the_line_makes_another_message(id: u16, request in request()) {
        let line = line_of(id, &request);
        for bit in 0..line.len() * 8 {
            let mut bent = flipped(&line, bit);
            bent.push(0);
            for heard in whole(&hear(&mut Deframer::<64>::new(), &bent)) {
                prop_assert_eq!(heard, (id, Ok(request)));
            }
        }
    }

    #[test]
    fn noise_around_a_frame_is_not_part_of_it(
        id: u16,
        request in request(),
        before in vec(any::<u8>(), 0..100),
        after in vec(any::<u8>(), 0..100),
        piece in 1..40usize,
    ) {
        let frame = line_of(id, &request);
        let line = [&before[..], &frame, &after, &[0]].concat();
        // One deframer over all pieces: where the line is split must not matter.
        let mut deframer = Deframer::<64>::new();
        let mut heard = Vec::new();
        for bytes in line.chunks(piece) {
            heard.extend(hear(&mut deframer, bytes));
        }
        prop_assert_eq!(whole(&heard), [(id, Ok(request))]);
    }

    #[test]
    fn noise_without_zeros_costs_one_error_and_no_frame(
        id: u16,
        request in request(),
        before in vec(1..=u8::MAX, 1..100),
    ) {
        let line = [&before[..], &line_of(id, &request)].concat();
        let heard = hear(&mut Deframer::<64>::new(), &line);
        prop_assert_eq!(heard.len(), 2);
        prop_assert!(heard[0].is_err());
        prop_assert_eq!(&heard[1], &Ok((id, Ok(request))));
    }

    #[test]
    fn frames_in_a_row_all_come_out(all in vec((any::<u16>(), request()), 0..12)) {
        let line: Vec<u8> = all.iter().flat_map(|(id, request)| line_of(*id, request)).collect();
        let heard = hear(&mut Deframer::<64>::new(), &line);
        let sent: Vec<Heard> = all.iter().map(|(id, request)| Ok((*id, Ok(*request)))).collect();
        prop_assert_eq!(heard, sent);
    }

    /// Here the tail of an over-long frame is itself an intact frame; it must not be heard.
    #[test]
    fn the_tail_of_a_long_frame_is_no_frame(
        id: u16,
        request in request(),
        head in vec(1..=u8::MAX, 64..200),
    ) {
        let frame = line_of(id, &request);
        let line = [&head[..], &frame[1..], &frame].concat();
        let heard = hear(&mut Deframer::<64>::new(), &line);
        prop_assert_eq!(heard, [Err(FrameError::TooLong), Ok((id, Ok(request)))]);
    }

    /// A reader of any size hears a frame that fits, calls longer ones too long, and hears the next
    /// one.
    #[test]
    fn a_small_reader_drops_long_frames_whole(id: u16, run in vec(any::<u8>(), 0..80)) {
        let long = batch_line(id, &run);
        let short = line_of(id, &Request::Hello);
        let line = [&long[..], &short].concat();
        let heard = hear(&mut Deframer::<24>::new(), &line);
        let first = if long.len() - 2 > 24 {
            Err(FrameError::TooLong)
        } else {
            Ok((id, Err(FrameError::Kind)))
        };
        prop_assert_eq!(heard, [first, Ok((id, Ok(Request::Hello)))]);
        // No buffer at all: everything is too long, nothing panics.
        let heard = hear(&mut Deframer::<0>::new(), &line);
        prop_assert_eq!(heard, [Err(FrameError::TooLong), Err(FrameError::TooLong)]);
    }

    #[test]
    fn any_bytes_on_the_line_do_not_panic(bytes in vec(any::<u8>(), 0..400), small: bool) {
        // Zeros are as likely as everything else together, so that many short frames end.
        let bytes: Vec<u8> = bytes.iter().map(|b| if small { b % 2 * b } else { *b }).collect();
        let endings = bytes.split(|b| *b == 0).filter(|part| !part.is_empty()).count();
        let open_end = usize::from(bytes.last().is_some_and(|b| *b != 0));
        let heard = hear(&mut Deframer::<32>::new(), &bytes);
        prop_assert_eq!(heard.len(), endings - open_end);
        prop_assert!(whole(&heard).is_empty());
    }

    /// Intact frames with any header and body: each reads as a message or says why not.
    #[test]
    fn any_whole_frame_is_read_without_panic(
        version: u8,
        kind in select(vec![0x51, 0x52, 0x00, 0xff]),
        id: u16,
        body in vec(any::<u8>(), 0..60),
    ) {
        let mut plain = vec![version % 3, kind];
        plain.extend_from_slice(&id.to_le_bytes());
        plain.extend_from_slice(&body);
        plain.extend_from_slice(&CRC.checksum(&plain).to_le_bytes());
        let frame = Frame::check(&plain).unwrap();
        prop_assert_eq!(frame.id, RequestId(id));
        let request = frame.message::<Request>().err();
        let response = frame.message::<Response<'_>>().err();
        if version % 3 != 1 {
            let theirs = Some(FrameError::Version { theirs: version % 3 });
            prop_assert_eq!((request, response), (theirs, theirs));
        } else if kind == 0x51 {
            prop_assert!(matches!(request, None | Some(FrameError::Malformed)));
            prop_assert_eq!(response, Some(FrameError::Kind));
        } else if kind == 0x52 {
            prop_assert!(matches!(response, None | Some(FrameError::Malformed)));
            prop_assert_eq!(request, Some(FrameError::Kind));
        } else {
            let kind = Some(FrameError::Kind);
            prop_assert_eq!((request, response), (kind, kind));
        }
    }

    #[test]
    fn bytes_after_a_message_are_malformed(request in request(), extra in vec(any::<u8>(), 1..6)) {
        let line = line_of(1, &request);
        let plain = unstuff(&line[1..line.len() - 1]);
        let mut longer = [&plain[..plain.len() - 4], &extra[..]].concat();
        longer.extend_from_slice(&CRC.checksum(&longer).to_le_bytes());
        let frame = Frame::check(&longer).unwrap();
        prop_assert_eq!(frame.message::<Request>(), Err(FrameError::Malformed));
    }
}

/// A checksum that ends in zero makes COBS add a length byte at the end; the size must allow for
/// it. One id in 256 gives such a checksum.
#[test]
fn a_checksum_that_ends_in_zero_needs_its_room_too() {
    let mut met = 0;
    for id in 0..2000 {
        let whole = line_of(id, &Request::Hello);
        met += u32::from(unstuff(&whole[1..whole.len() - 1]).ends_with(&[0]));
        for room in 0..whole.len() {
            let mut line = vec![0xaa; room];
            let sent = frame::encode(RequestId(id), &Request::Hello, &mut line);
            assert_eq!(sent, Err(FrameError::TooLong), "id {id}, room {room}");
        }
    }
    assert!(met > 0, "no such checksum among the ids tried");
}

/// Each bit in turn of a long frame that has more than one COBS block.
#[test]
fn no_single_bent_bit_of_a_batch_makes_another_message() {
    let run: Vec<u8> = (0..300u32).map(|n| (n * 7 % 251) as u8 + 1).collect();
    let line = batch_line(9, &run);
    for bit in 0..line.len() * 8 {
        let mut deframer = Deframer::<512>::new();
        let mut bent = flipped(&line, bit);
        bent.push(0);
        for byte in bent {
            if let Some(Ok(frame)) = deframer.push(byte) {
                let sent = Response::Batch { from: Seq(1), through: Seq(9), sealed: &run };
                assert_eq!((frame.id, frame.message()), (RequestId(9), Ok(sent)), "bit {bit}");
            }
        }
    }
}

/// Fewer bytes than header and checksum are not a frame, even if the checksum would match.
#[test]
fn a_frame_without_a_header_is_damaged() {
    for length in 0..FRAME_OVERHEAD - 4 {
        let mut plain = vec![1; length];
        plain.extend_from_slice(&CRC.checksum(&plain).to_le_bytes());
        assert_eq!(Frame::check(&plain), Err(FrameError::Damaged), "{length}");
    }
}

/// No buffer, no log bytes, too many of them.
#[test]
fn a_trace_frame_that_cannot_be_is_refused() {
    let bytes = [0xFF; MAX_TRACE + 1];
    let trace = |length: usize| Trace { number: 255, bytes: &bytes[..length] };
    let mut line = [0; MAX_TRACE_ON_WIRE];
    assert_eq!(trace::encode(&trace(0), &mut line), Err(FrameError::Malformed));
    assert_eq!(trace::encode(&trace(MAX_TRACE + 1), &mut line), Err(FrameError::TooLong));
    assert_eq!(trace::encode(&trace(MAX_TRACE), &mut line).unwrap().len(), MAX_TRACE_ON_WIRE);
    let short = trace::encode(&trace(MAX_TRACE), &mut line[1..]);
    assert_eq!(short, Err(FrameError::TooLong));
}
