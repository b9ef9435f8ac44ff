//! Every query text, in one place, so that one test can hold them all to the rules.
//!
//! The same texts are to run on an engine that speaks the PostgreSQL protocol: placeholders `$1`,
//! `$2`, … first used in ascending order (SQLite numbers them by first use), integer days instead
//! of date functions, a total order wherever order matters, `CAST` on sums, no column beside an
//! aggregate that is not grouped, `ON CONFLICT` and never `INSERT OR`. Settings and the schema
//! itself are per engine and stand elsewhere.

macro_rules! queries {
    ($($name:ident = $text:expr;)*) => {
        $(pub(super) const $name: &str = $text;)*
        /// Every query text by its name, for those who time them bare.
        pub const ALL: &[(&str, &str)] = &[$((stringify!($name), $name),)*];
    };
}

/// The columns that presence, reading, finding, action and score share, and their placeholders.
macro_rules! insert_observation {
    ($table:literal, $columns:literal, $places:literal) => {
        concat!(
            "INSERT INTO ",
            $table,
            " (herd, device, log, seq, boot, at_ms, day, uncertainty_ms, clock, animal,",
            " presence, foot, side, ",
            $columns,
            ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, ",
            $places,
            ")"
        )
    };
}

/// Facts of a table: the columns that all share, then the table's own; by cow, day and time.
macro_rules! facts {
    ($table:literal, $shared:literal, $columns:literal, $which:literal) => {
        concat!(
            "SELECT device, log, seq, at_ms, day, uncertainty_ms, clock, animal, ",
            $shared,
            ", ",
            $columns,
            " FROM ",
            $table,
            " WHERE herd = $1 AND ",
            $which,
            " ORDER BY animal NULLS FIRST, day, at_ms, device, log, seq"
        )
    };
    ($table:literal, $columns:literal) => {
        facts!($table, "presence, foot, side", $columns, "day >= $2 AND day <= $3")
    };
    ($table:literal, $columns:literal, of cow) => {
        facts!($table, "presence, foot, side", $columns, "animal = $2 AND day <= $3")
    };
}

/// Rows of a derived table whose record is not in the inbox.
macro_rules! orphans {
    ($table:literal) => {
        concat!(
            "SELECT count(*) FROM ",
            $table,
            " WHERE NOT EXISTS (SELECT 1 FROM sealed WHERE sealed.device = ",
            $table,
            ".device AND sealed.log = ",
            $table,
            ".log AND sealed.seq = ",
            $table,
            ".seq)"
        )
    };
}

/// Rows that belong to a stay which is not there.
macro_rules! homeless {
    ($table:literal) => {
        concat!(
            "SELECT count(*) FROM ",
            $table,
            " WHERE presence IS NOT NULL AND NOT EXISTS (SELECT 1 FROM presence ",
            "WHERE presence.herd = ",
            $table,
            ".herd AND presence.device = ",
            $table,
            ".device AND presence.log = ",
            $table,
            ".log AND presence.seq = ",
            $table,
            ".presence)"
        )
    };
}

macro_rules! sweep {
    ($table:literal) => {
        concat!(
            "DELETE FROM ",
            $table,
            " WHERE herd = $1 AND device = $2 AND log = $3 AND seq >= $4"
        )
    };
}

/// Counts the rows of a table that the schema itself has named.
pub(super) fn count_of(table: &str) -> String {
    format!("SELECT count(*) FROM \"{table}\"")
}

queries! {
    // SQLite's own; another engine has its own way to say "empty".
    SCHEMA_OBJECTS = "SELECT count(*) FROM sqlite_schema";
    // Their own tables and indices stand for nothing that a migration says.
    SCHEMA = "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema
        WHERE name NOT LIKE 'sqlite@_%' ESCAPE '@' ORDER BY type, name";
    MIGRATIONS = "SELECT version, checksum FROM migration ORDER BY version";
    INSERT_MIGRATION = "INSERT INTO migration (version, name, checksum) VALUES ($1, $2, $3)";

    // ---- inbox
    INSERT_PULL = "INSERT INTO pull (device, log, firmware_major, firmware_minor, firmware_patch, \
        source, started_ms) VALUES ($1, $2, $3, $4, $5, $6, $7) RETURNING pull";
    PULL_LOG = "SELECT device, log FROM pull WHERE pull = $1";
    COUNT_PULL = "UPDATE pull SET fresh = fresh + $1, known = known + $2, \
        conflicts = conflicts + $3 WHERE pull = $4";
    END_PULL = "UPDATE pull SET ended_ms = $1 WHERE pull = $2";
    SEALED = "SELECT seq, bytes FROM sealed WHERE device = $1 AND log = $2 AND seq = $3";
    REPLACE_SEALED = "UPDATE sealed SET bytes = $1, pull = $2 \
        WHERE device = $3 AND log = $4 AND seq = $5";
    INSERT_SEALED = "INSERT INTO sealed (device, log, seq, bytes, pull) \
        VALUES ($1, $2, $3, $4, $5)";
    INSERT_CONFLICT = "INSERT INTO conflict (device, log, seq, bytes, pull) \
        VALUES ($1, $2, $3, $4, $5) ON CONFLICT (device, log, seq, bytes) DO NOTHING";
    CONFLICTS = "SELECT count(*) FROM conflict WHERE device = $1 AND log = $2";
    COVERED_NEAR = "SELECT first_seq, last_seq FROM covered WHERE device = $1 AND log = $2 \
        AND first_seq <= $3 AND last_seq >= $4 ORDER BY first_seq";
    DELETE_COVERED = "DELETE FROM covered WHERE device = $1 AND log = $2 \
        AND first_seq <= $3 AND last_seq >= $4";
    INSERT_COVERED = "INSERT INTO covered (device, log, first_seq, last_seq) \
        VALUES ($1, $2, $3, $4)";
    COVERED = "SELECT first_seq, last_seq FROM covered WHERE device = $1 AND log = $2 \
        ORDER BY first_seq";
    CURSOR = "SELECT last_seq FROM covered WHERE device = $1 AND log = $2 \
        AND first_seq <= $3 AND last_seq >= $3";
    LOGS = "SELECT DISTINCT device, log FROM covered WHERE NOT EXISTS (SELECT 1 FROM aside \
        WHERE aside.device = covered.device AND aside.log = covered.log AND coalesce((SELECT takes \
        FROM aside_ruling WHERE aside_ruling.device = aside.device \
        AND aside_ruling.log = aside.log ORDER BY ruling DESC LIMIT 1), 0) = 0) \
        ORDER BY device, log";
    SEQS = "SELECT seq FROM sealed WHERE device = $1 AND log = $2 ORDER BY seq";
    INSERT_ANCHOR = "INSERT INTO anchor (device, log, boot, uptime_ms, unix_ms, round_trip_ms, \
        pull) VALUES ($1, $2, $3, $4, $5, $6, $7) \
        ON CONFLICT (device, log, boot, uptime_ms, unix_ms, round_trip_ms) DO NOTHING";
    ANCHORS = "SELECT boot, uptime_ms, unix_ms, round_trip_ms FROM anchor \
        WHERE device = $1 AND log = $2 ORDER BY boot, uptime_ms, unix_ms, round_trip_ms";
    SEALED_FROM = "SELECT seq, bytes FROM sealed WHERE device = $1 AND log = $2 AND seq >= $3 \
        ORDER BY seq";
    SEALED_BEFORE = "SELECT seq, bytes FROM sealed WHERE device = $1 AND log = $2 AND seq < $3 \
        ORDER BY seq DESC LIMIT $4";
    SEALED_WITHIN = "SELECT seq, bytes FROM sealed WHERE device = $1 AND log = $2 \
        AND seq >= $3 AND seq <= $4 ORDER BY seq LIMIT $5";
    INSERT_ASIDE = "INSERT INTO aside (device, log, of_log, first_seq, pull) \
        VALUES ($1, $2, $3, $4, $5)";
    ASIDE = "SELECT of_log, first_seq FROM aside WHERE device = $1 AND log = $2";
    ASIDES = "SELECT aside.device, aside.log, of_log, first_seq, count(sealed.seq), \
        coalesce(max(sealed.seq), 0) FROM aside LEFT JOIN sealed \
        ON sealed.device = aside.device AND sealed.log = aside.log \
        GROUP BY aside.device, aside.log, of_log, first_seq, aside.pull \
        ORDER BY aside.pull, aside.device, aside.log";
    INSERT_ASIDE_RULING = "INSERT INTO aside_ruling (device, log, takes, who, at_ms, why) \
        VALUES ($1, $2, $3, $4, $5, $6)";
    ASIDE_RULINGS = "SELECT takes, who, at_ms, why FROM aside_ruling \
        WHERE device = $1 AND log = $2 ORDER BY ruling DESC";
    CAME = "SELECT pull.started_ms FROM sealed JOIN pull ON pull.pull = sealed.pull \
        WHERE sealed.device = $1 AND sealed.log = $2 AND sealed.seq = $3";
    LAST_SEQ = "SELECT coalesce(max(seq), 0) FROM sealed WHERE device = $1 AND log = $2";
    FIRST_SEQ_FROM = "SELECT coalesce(min(seq), 0) FROM sealed WHERE device = $1 AND log = $2 \
        AND seq >= $3";

    // ---- how far a log is derived
    DERIVED = "SELECT through FROM derived WHERE device = $1 AND log = $2";
    SET_DERIVED = "INSERT INTO derived (device, log, through) VALUES ($1, $2, $3) \
        ON CONFLICT (device, log) DO UPDATE SET through = excluded.through";
    LOWER_DERIVED = "UPDATE derived SET through = $1 WHERE device = $2 AND log = $3 \
        AND through > $1";

    // ---- herds, lists, handhelds
    HERDS = "SELECT herd, name, zone, language, unit, paper, target_nm, currency, address, \
        route, vet FROM herd ORDER BY herd";
    INSERT_HERD = "INSERT INTO herd (name, zone) VALUES ($1, $2) RETURNING herd";
    UPDATE_HERD = "UPDATE herd SET name = $1, zone = $2 WHERE herd = $3";
    SET_FARM = "UPDATE herd SET language = $1, unit = $2, paper = $3, target_nm = $4, \
        currency = $5, address = $6, route = $7, vet = $8 WHERE herd = $9";
    STANDING_KEYS = "SELECT key, herd, since, holds FROM standing_key \
        ORDER BY since NULLS FIRST, said";
    INSERT_STANDING_KEY = "INSERT INTO standing_key (key, herd, since, holds) \
        VALUES ($1, $2, $3, $4)";
    PLANS = "SELECT plan, name, day FROM plan ORDER BY plan";
    PLAN_FARMS = "SELECT plan, key, herd FROM plan_farm ORDER BY plan, key";
    PLAN_BYTES = "SELECT plan, bytes FROM plan WHERE day = $1 ORDER BY plan DESC";
    PLAN_NAME_TAKEN = "SELECT count(*) FROM plan WHERE name = $1";
    PLAN_NAME_LOADED = "SELECT count(*) FROM plan_load WHERE name = $1";
    LAST_PLAN = "SELECT coalesce(max(plan), 0) FROM plan";
    INSERT_PLAN = "INSERT INTO plan (plan, name, day, made_ms, bytes) VALUES ($1, $2, $3, $4, $5)";
    INSERT_PLAN_FARM = "INSERT INTO plan_farm (plan, key, herd) VALUES ($1, $2, $3)";
    ANIMALS = "SELECT animal, tag, name, born, in_herd, official, breed, lactation, calved, pen, \
        left_on FROM animal WHERE herd = $1 ORDER BY animal";
    CLEAR_ANIMALS = "DELETE FROM animal WHERE herd = $1";
    INSERT_ANIMAL = "INSERT INTO animal (herd, animal, tag, name, born, in_herd, official, breed, \
        lactation, calved, pen, left_on) \
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)";
    RENUMBERED = "SELECT since, was, now FROM renumbered WHERE herd = $1 ORDER BY since, was";
    CLEAR_RENUMBERED = "DELETE FROM renumbered WHERE herd = $1";
    INSERT_RENUMBERED = "INSERT INTO renumbered (herd, since, was, now) VALUES ($1, $2, $3, $4)";
    HEADINGS = "SELECT field, heading FROM heading WHERE herd = $1 ORDER BY field";
    CLEAR_HEADINGS = "DELETE FROM heading WHERE herd = $1";
    INSERT_HEADING = "INSERT INTO heading (herd, field, heading) VALUES ($1, $2, $3)";
    INSERT_TRIM_MARK = "INSERT INTO do_not_trim (herd, animal, day, holds, who, at_ms, why) \
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    TRIM_MARKS = "SELECT animal, day, holds, who, at_ms, why FROM do_not_trim WHERE herd = $1 \
        ORDER BY mark";
    TRIAL_WAYS = "SELECT way, name FROM trial_way ORDER BY way";
    SET_TRIAL_WAY = "INSERT INTO trial_way (way, name) VALUES ($1, $2) \
        ON CONFLICT (way) DO UPDATE SET name = excluded.name";
    WAY_FACTS = "SELECT way, since, through, material, glue, surface, height_nm, who, at_ms \
        FROM way_fact ORDER BY way, since";
    SET_WAY_FACT = "INSERT INTO way_fact (way, since, through, material, glue, surface, height_nm, \
        who, at_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT (way, since) \
        DO UPDATE SET through = excluded.through, material = excluded.material, glue = excluded.glue, \
        surface = excluded.surface, height_nm = excluded.height_nm, who = excluded.who, \
        at_ms = excluded.at_ms";
    CLEAR_WAY_FACT = "DELETE FROM way_fact WHERE way = $1 AND since = $2";
    CLEAR_TRIAL_WAY = "DELETE FROM trial_way WHERE way = $1";
    HANDHELD = "SELECT herd, gauge_nm, gauge_tolerance_nm FROM handheld WHERE device = $1";
    SET_HANDHELD = "INSERT INTO handheld (device, herd, gauge_nm, gauge_tolerance_nm) \
        VALUES ($1, $2, $3, $4) ON CONFLICT (device) DO UPDATE SET herd = excluded.herd, \
        gauge_nm = excluded.gauge_nm, gauge_tolerance_nm = excluded.gauge_tolerance_nm";

    // ---- draws of trial ways
    INSERT_LOT = "INSERT INTO lot (herd, name, day, unit, ways, sizes, seed, sha256, who, at_ms, why) \
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) RETURNING lot";
    INSERT_LOT_COW = "INSERT INTO lot_cow (lot, animal, ways) VALUES ($1, $2, $3)";
    INSERT_LOT_NOTE = "INSERT INTO lot_note (lot, what, day, who, at_ms, why) \
        VALUES ($1, $2, $3, $4, $5, $6)";
    LOTS = "SELECT lot, herd, name, day, unit, ways, sizes, seed, sha256, who, at_ms, why FROM lot \
        WHERE herd = $1 ORDER BY lot";
    LOT_COWS = "SELECT animal, ways FROM lot_cow WHERE lot = $1 ORDER BY animal";
    LOT_NOTES = "SELECT what, day, who, at_ms, why FROM lot_note WHERE lot = $1 ORDER BY note";
    STAYS_SINCE = "SELECT count(*) FROM presence WHERE herd = $1 AND day >= $2";

    // ---- decisions
    INSERT_DECISION = "INSERT INTO decision (device, log, seq, kind, field, value, takes_back, \
        who, at_ms, why) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) RETURNING decision";
    DECISIONS = "SELECT decision, device, log, seq, kind, field, value, takes_back, who, at_ms, \
        why FROM decision WHERE device = $1 AND log = $2 ORDER BY decision";
    ALL_DECISIONS = "SELECT decision, device, log, seq, kind, field, value, takes_back, who, \
        at_ms, why FROM decision ORDER BY decision";

    // ---- what waits for a person
    REVIEW = "SELECT device, log, seq, herd, rule, severity, day, animal, foot, side, sentence \
        FROM remark ORDER BY herd, coalesce(day, 0), device, log, seq, severity DESC, rule";

    // ---- the numbers of the rules
    THRESHOLDS = "SELECT name, value FROM threshold ORDER BY name";
    CLEAR_THRESHOLDS = "DELETE FROM threshold";
    INSERT_THRESHOLD = "INSERT INTO threshold (name, value) VALUES ($1, $2)";

    // ---- derived rows
    SWEEP_PRESENCE = sweep!("presence");
    SWEEP_READING = sweep!("reading");
    SWEEP_FINDING = sweep!("finding");
    SWEEP_ACTION = sweep!("action");
    SWEEP_SCORE = sweep!("score");
    SWEEP_REMARK = sweep!("remark");
    SWEEP_VISIT = "DELETE FROM visit WHERE device = $1 AND log = $2 AND seq >= $3";
    SWEEP_WASH = "DELETE FROM wash WHERE device = $1 AND log = $2 AND seq >= $3";
    INSERT_WASH = "INSERT INTO wash (device, log, seq, at_ms) VALUES ($1, $2, $3, $4)";
    ALL_WASH = "SELECT * FROM wash ORDER BY device, log, seq";
    CLEAR_WASH = "DELETE FROM wash";
    ORPHAN_WASH = orphans!("wash");
    // Of each handheld that was at a farm on a day: its first cow there, its last cow at another farm
    // before, and the last washing between the two.
    WASHED = "SELECT here.device, here.came, here.gone, (SELECT max(wash.at_ms) FROM wash \
        WHERE wash.device = here.device AND wash.at_ms >= here.gone AND wash.at_ms <= here.came) \
        FROM (SELECT own.device AS device, own.came AS came, (SELECT max(presence.at_ms) \
        FROM presence WHERE presence.device = own.device AND presence.herd <> $1 \
        AND presence.at_ms < own.came) AS gone FROM (SELECT device, min(at_ms) AS came FROM presence \
        WHERE herd = $1 AND day = $2 GROUP BY device) AS own) AS here \
        WHERE here.gone IS NOT NULL ORDER BY here.device";
    AMPUTATED = "SELECT animal, foot, side, min(day) FROM finding WHERE herd = $1 AND lesion = 64 \
        AND side > 0 GROUP BY animal, foot, side ORDER BY animal, foot, side";
    SWEEP_PLAN_LOAD = "DELETE FROM plan_load WHERE device = $1 AND log = $2 AND seq >= $3";
    INSERT_VISIT = "INSERT INTO visit (device, log, seq, farm, herd) VALUES ($1, $2, $3, $4, $5)";
    INSERT_PLAN_LOAD = "INSERT INTO plan_load (device, log, seq, name, farm, herd) \
        VALUES ($1, $2, $3, $4, $5, $6)";
    VISIT_BEFORE = "SELECT seq, farm, herd FROM visit WHERE device = $1 AND log = $2 AND seq < $3 \
        ORDER BY seq DESC LIMIT 1";
    PLAN_LOAD_BEFORE = "SELECT seq, farm, herd, name FROM plan_load WHERE device = $1 AND log = $2 \
        AND seq < $3 ORDER BY seq DESC LIMIT 1";
    STAYS_OF_ALL = "SELECT device, log, seq, herd, day FROM presence ORDER BY device, log, seq";
    INSERT_PRESENCE = "INSERT INTO presence (herd, device, log, seq, boot, at_ms, until_ms, day, \
        uncertainty_ms, clock, animal) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
    INSERT_READING = insert_observation!(
        "reading",
        "dimension, length_nm, unit, kind, trimmed, gauge_ok",
        "$14, $15, $16, $17, $18, $19"
    );
    INSERT_FINDING = insert_observation!("finding", "lesion, grade, zone", "$14, $15, $16");
    INSERT_ACTION = insert_observation!("action", "action, days", "$14, $15");
    INSERT_SCORE = insert_observation!("score", "scale, value", "$14, $15");
    INSERT_REMARK = "INSERT INTO remark (herd, device, log, seq, rule, severity, level, day, \
        animal, foot, side, sentence) \
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) \
        ON CONFLICT (herd, device, log, seq, rule) DO NOTHING";

    // ---- all of the derived tables
    ALL_VISIT = "SELECT * FROM visit ORDER BY device, log, seq";
    ALL_PLAN_LOAD = "SELECT * FROM plan_load ORDER BY device, log, seq";
    ALL_PRESENCE = "SELECT * FROM presence ORDER BY herd, device, log, seq";
    ALL_READING = "SELECT * FROM reading ORDER BY herd, device, log, seq";
    ALL_FINDING = "SELECT * FROM finding ORDER BY herd, device, log, seq";
    ALL_ACTION = "SELECT * FROM action ORDER BY herd, device, log, seq";
    ALL_SCORE = "SELECT * FROM score ORDER BY herd, device, log, seq";
    ALL_REMARK = "SELECT * FROM remark ORDER BY herd, device, log, seq, rule";
    CLEAR_VISIT = "DELETE FROM visit";
    CLEAR_PLAN_LOAD = "DELETE FROM plan_load";
    CLEAR_PRESENCE = "DELETE FROM presence";
    CLEAR_READING = "DELETE FROM reading";
    CLEAR_FINDING = "DELETE FROM finding";
    CLEAR_ACTION = "DELETE FROM action";
    CLEAR_SCORE = "DELETE FROM score";
    CLEAR_REMARK = "DELETE FROM remark";
    CLEAR_DERIVED = "DELETE FROM derived";

    // ---- whether all is well
    ORPHAN_VISIT = orphans!("visit");
    ORPHAN_PLAN_LOAD = orphans!("plan_load");
    ORPHAN_PRESENCE = orphans!("presence");
    ORPHAN_READING = orphans!("reading");
    ORPHAN_FINDING = orphans!("finding");
    ORPHAN_ACTION = orphans!("action");
    ORPHAN_SCORE = orphans!("score");
    ORPHAN_REMARK = orphans!("remark");
    ORPHAN_DECISION = orphans!("decision");
    HOMELESS_READING = homeless!("reading");
    HOMELESS_FINDING = homeless!("finding");
    HOMELESS_ACTION = homeless!("action");
    HOMELESS_SCORE = homeless!("score");
    REMARKS_OF_RULE = "SELECT count(*) FROM remark WHERE rule = $1";
    PULLS_CUT_OFF = "SELECT count(*) FROM pull WHERE ended_ms IS NULL";
    TABLES = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' \
        ORDER BY name";

    // ---- what the rules over a herd's history look at
    SWEEP_HISTORY_REMARKS = "DELETE FROM remark WHERE herd = $1 AND level = 1";
    // ---- what is due
    DUE_RULES = "SELECT name, days FROM due_rule ORDER BY name";
    SET_DUE_RULE = "INSERT INTO due_rule (name, days) VALUES ($1, $2) \
        ON CONFLICT (name) DO UPDATE SET days = excluded.days";

    INSERT_CLOSING = "INSERT INTO closing (herd, animal, foot, side, duty, day, who, at_ms, why, \
        holds) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    CLOSINGS = "SELECT said.animal, said.foot, said.side, said.duty, said.day, said.who, said.at_ms, \
        said.why FROM closing AS said WHERE said.herd = $1 AND said.holds = 1 AND NOT EXISTS (\
        SELECT 1 FROM closing AS back WHERE back.holds = 0 AND back.closing > said.closing \
        AND back.herd = said.herd AND back.animal = said.animal AND back.duty = said.duty \
        AND back.day = said.day AND back.side = said.side \
        AND coalesce(back.foot, 9) = coalesce(said.foot, 9)) ORDER BY said.closing";

    // ---- bills
    BILLED_DAYS = "SELECT DISTINCT standing.day FROM (SELECT bill_line.day AS day FROM bill_line \
        JOIN bill ON bill.series = bill_line.series AND bill.number = bill_line.number \
        WHERE bill.herd = $1 GROUP BY bill_line.day, bill_line.item \
        HAVING CAST(sum(bill_line.quantity) AS BIGINT) <> 0) AS standing ORDER BY standing.day";
    LAST_BILL_NUMBER = "SELECT coalesce(max(number), 0) FROM bill WHERE series = $1";
    INSERT_BILL = "INSERT INTO bill (series, number, herd, kind, of_series, of_number, issued, \
        issued_ms, due, who, why, language, currency, minor_digits, prices, seller, buyer, farm, \
        note, net, tax, gross) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, \
        $14, $15, $16, $17, $18, $19, $20, $21, $22)";
    INSERT_BILL_LINE = "INSERT INTO bill_line (series, number, line, day, item, words, quantity, \
        unit_price, amount, rate) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    INSERT_BILL_TAX = "INSERT INTO bill_tax (series, number, rate, net, tax) \
        VALUES ($1, $2, $3, $4, $5)";
    BILLS = "SELECT series, number, herd, kind, of_series, of_number, issued, due, language, \
        currency, prices, seller, buyer, farm, note, why FROM bill ORDER BY series, number";
    BILL_LINES = "SELECT day, item, words, quantity, unit_price, rate FROM bill_line \
        WHERE series = $1 AND number = $2 ORDER BY line";
    BILL_TAXES = "SELECT rate, net, tax FROM bill_tax WHERE series = $1 AND number = $2 \
        ORDER BY rate";
    BILL_SIGNED = "SELECT who, issued_ms FROM bill WHERE series = $1 AND number = $2";
    INSERT_BILL_FREE_LINE = "INSERT INTO bill_free_line (series, number, line, item, words, unit, \
        quantity, unit_price, amount, rate) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
    BILL_FREE_LINES = "SELECT item, words, unit, quantity, unit_price, rate FROM bill_free_line \
        WHERE series = $1 AND number = $2 ORDER BY line";
    INSERT_BILL_WITH_HELD = "INSERT INTO bill_with_held (series, number, held, why) \
        VALUES ($1, $2, $3, $4)";
    BILL_WITH_HELD = "SELECT held, why FROM bill_with_held WHERE series = $1 AND number = $2";
    INSERT_PAYMENT = "INSERT INTO payment (series, number, day, amount, takes_back, who, at_ms, \
        why) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
    PAYMENTS = "SELECT payment, series, number, day, amount, takes_back, who, at_ms, why \
        FROM payment ORDER BY payment";

    // ---- facts
    STAY_FACTS = facts!("presence", "NULL, NULL, 0", "until_ms", "day >= $2 AND day <= $3");
    READING_FACTS = facts!("reading", "dimension, length_nm, unit, kind, trimmed, gauge_ok");
    FINDING_FACTS = facts!("finding", "lesion, grade, zone");
    ACTION_FACTS = facts!("action", "action, days");
    SCORE_FACTS = facts!("score", "scale, value");
    STAY_FACTS_OF_COW =
        facts!("presence", "NULL, NULL, 0", "until_ms", "animal = $2 AND day <= $3");
    READING_FACTS_OF_COW =
        facts!("reading", "dimension, length_nm, unit, kind, trimmed, gauge_ok", of cow);
    FINDING_FACTS_OF_COW = facts!("finding", "lesion, grade, zone", of cow);
    ACTION_FACTS_OF_COW = facts!("action", "action, days", of cow);
    SCORE_FACTS_OF_COW = facts!("score", "scale, value", of cow);
    GAUGE_FACTS = "SELECT reading.device, reading.log, reading.seq, reading.at_ms, reading.day, \
        reading.uncertainty_ms, reading.clock, reading.animal, reading.presence, reading.foot, \
        reading.side, reading.dimension, reading.length_nm, reading.unit, reading.kind, \
        reading.trimmed, reading.gauge_ok FROM reading WHERE reading.dimension = 0 \
        AND (reading.herd = $1 OR EXISTS (SELECT 1 FROM presence WHERE presence.herd = $1 \
        AND presence.day = reading.day AND presence.device = reading.device)) \
        AND reading.day >= $2 AND reading.day <= $3 \
        ORDER BY reading.at_ms, reading.device, reading.log, reading.seq";
    FLAGS = "SELECT device, log, seq, rule FROM remark WHERE herd = $1 AND severity = 0 \
        ORDER BY device, log, seq, rule";

    // ---- reports
    VISIT_DAYS = "SELECT herd, day, count(DISTINCT animal) FROM presence \
        GROUP BY herd, day ORDER BY day DESC, herd";
    VISITS_OF_LOG = "SELECT DISTINCT herd, day FROM presence WHERE device = $1 AND log = $2 \
        AND seq >= $3 ORDER BY herd, day";
    DAYS_BEFORE = "SELECT DISTINCT day FROM presence WHERE herd = $1 AND day < $2 \
        ORDER BY day DESC LIMIT $3";
    REMARKS = "SELECT device, log, seq, rule, severity, animal, foot, side, sentence \
        FROM remark WHERE herd = $1 AND day = $2 ORDER BY severity DESC, device, log, seq, rule";
    FIRMWARES = "SELECT DISTINCT device, firmware_major, firmware_minor, firmware_patch \
        FROM pull ORDER BY device, firmware_major, firmware_minor, firmware_patch";
    UNPLACED_REMARKS = "SELECT device, log, seq, rule, severity, animal, foot, side, sentence \
        FROM remark WHERE herd = 0 AND severity < 2 ORDER BY device, log, seq, rule";
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Database;

    /// Numbers of the placeholders, in the order of their first use.
    fn first_uses(text: &str) -> Vec<usize> {
        let mut seen = Vec::new();
        for part in text.split('$').skip(1) {
            let digits: String = part.chars().take_while(char::is_ascii_digit).collect();
            let number = digits.parse().unwrap();
            if !seen.contains(&number) {
                seen.push(number);
            }
        }
        seen
    }

    #[test]
    fn placeholders_are_first_used_in_ascending_order() {
        for (name, text) in ALL {
            let uses = first_uses(text);
            let ascending: Vec<usize> = (1..=uses.len()).collect();
            assert_eq!(uses, ascending, "{name}");
        }
        assert_eq!(first_uses("a = $2 AND b = $1 AND c = $2"), [2, 1]);
    }

    #[test]
    fn every_text_is_portable() {
        for (name, text) in ALL {
            let upper = text.to_uppercase();
            for word in ["INSERT OR", "STRFTIME", "DATE(", "JULIANDAY", "JSON_", "IFNULL", "?"] {
                assert!(!upper.contains(word), "{name} says {word}");
            }
            let sums = upper.matches("SUM(").count();
            assert_eq!(sums, upper.matches("CAST(SUM(").count(), "{name}: CAST its sums");
            // A row list without an order is in another order on another engine.
            let lists = upper.starts_with("SELECT") && !upper.contains("COUNT(*) FROM");
            let one_row = upper.contains("MAX(SEQ)")
                || upper.contains("MIN(SEQ), 0) FROM")
                || upper.contains("MAX(NUMBER)")
                || upper.contains("MAX(PLAN)");
            let by_key = [
                "CAME",
                "SEALED",
                "PULL_LOG",
                "CURSOR",
                "DERIVED",
                "HANDHELD",
                "BILL_SIGNED",
                "ASIDE",
                "BILL_WITH_HELD",
            ];
            if lists && !one_row && !by_key.contains(name) {
                assert!(upper.contains("ORDER BY"), "{name} has no order");
            }
        }
    }

    /// The schema knows every table and column they name.
    #[test]
    fn every_text_prepares() {
        let herd = Database::in_memory().unwrap();
        for (name, text) in ALL {
            if let Err(error) = herd.conn.prepare(text) {
                panic!("{name}: {error}");
            }
        }
    }

    /// SQL anywhere else would escape the tests above.
    #[test]
    fn no_other_file_has_sql() {
        fn walk(dir: &std::path::Path, found: &mut Vec<std::path::PathBuf>) {
            for entry in std::fs::read_dir(dir).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    walk(&path, found);
                } else if path.extension().is_some_and(|e| e == "rs") {
                    found.push(path);
                }
            }
        }
        let mut files = Vec::new();
        let host = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        walk(&host, &mut files);
        assert!(files.len() > 200, "the whole office: {}", files.len());
        for file in files {
            let own = ["herd/src/queries.rs", "kit/src/inspect.rs", "tests.rs"];
            let tested = file.components().any(|part| part.as_os_str() == "tests");
            if tested || own.iter().any(|own| file.ends_with(own)) {
                continue;
            }
            let text = std::fs::read_to_string(&file).unwrap();
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
            for word in ["SELECT ", "INSERT INTO", "DELETE FROM", "UPDATE "] {
                assert!(!code.contains(word), "{} says {word}", file.display());
            }
        }
    }
}
