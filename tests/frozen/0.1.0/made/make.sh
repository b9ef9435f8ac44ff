#!/usr/bin/env bash
# What stands in tests/frozen/0.1.0, as it was made: by the office tool of version 0.1.0, in an empty folder.
#
#   PATH=folder-of-hornrule-and-large:$PATH  make.sh CHECKOUT-OF-0.1.0
#
# For the record: nothing is made again. Times within the second in which a cable was in differ from run to run, and
# so do the files that have them. Needs Python 3, gzip, the stories beside this file, and `large`, built from
# large.rs.
set -euo pipefail
from=$(cd "$1" && pwd)
here=$(cd "$(dirname "$0")" && pwd)
mkdir flash session exports

# Reads the next line of the handheld that begins so, and sets `rest` to what comes after.
heard() {
    local line
    while read -r -u "$said" line; do
        case "$line" in "$1"*) rest=${line#"$1"} && return ;; esac
    done
    return 1
}

# start FLASH WORDS...: a virtual handheld on this flash; sets `port`.
start() {
    coproc handheld { exec hornrule handheld --tcp 127.0.0.1:0 --flash "$@"; }
    at=$handheld_PID
    # Copies of its lines in and out: the shell forgets the array when the process ends.
    exec {said}<&"${handheld[0]}" {show}>&"${handheld[1]}"
    heard "port " && port=$rest
}

stop() {
    kill "$at" && wait "$at" || true
}

# play FLASH STORY DB NAME WORDS...: plays a story; the pull at each `plug in` is recorded.
play() {
    local flash=$1 story=$2 db=$3 name=$4 plug=0
    shift 4
    start "$flash" --story "$story" "$@"
    while heard "plugged in "; do
        plug=$((plug + 1))
        if [ -n "${before:-}" ]; then cp "$flash" "$before-$plug.flash"; fi
        echo "$name-$plug.session $rest" >>session/plugged-in.txt
        hornrule --db "$db" --pretend-now "$rest" pull --port "$port" --record "session/$name-$plug.session"
    done
    wait "$at" || true
}

# 1. The databases of the demo.
hornrule demo --no-pdf
hornrule --db hornrule-demo/herd.db backup herd.db
hornrule --db hornrule-demo/season.db backup season.db
for part in flash plan-flash calliper-flash; do
    cp "hornrule-demo/handheld.$part" "flash/demo.$part"
done

# 2. The same two days once more, the pulls recorded.
list() {
    cp "$from/host/demo/alder-brook.csv" alder-brook.csv
    hornrule --db "$1" herd import alder-brook.csv --herd "Alder Brook" --farm 1 --zone Europe/Dublin --yes
    hornrule --db "$1" gauge 75.00 --handheld c0ffee0000000001
}
list pulled.db
play again.flash "$from/host/demo/alder-brook.story" pulled.db day

# 3. Every row of the code tables: the flash after the evening's pull, and the pull. A flash of fewer pages than the
# usual 190 is made blank first; the handheld takes it as it is.
blank() {
    python3 -c 'import sys; open(sys.argv[1], "wb").write(b"\xff" * 1024 * int(sys.argv[2]))' "$@"
}
blank flash/codes.flash 16
play flash/codes.flash "$here/codes.story" codes.db codes --device c0ffee0000000002 --log a1de0002

# 4. A log of 8 pages: full, and after two pulls in its second lap.
blank flash/lapped.flash 8
before=flash/full play flash/lapped.flash "$here/full.story" full.db full --device c0ffee0000000003 --log a1de0003
mv flash/full-1.flash flash/full.flash

# 5. Two plans, one after the other, so that both banks are written; nothing is pulled.
cp herd.db plan.db
load() {
    start flash/plan.flash --now "$1" --device c0ffee0000000004 --log a1de0004
    heard "plugged in "
    hornrule --db plan.db --pretend-now "$1" plan --port "$port" "${@:2}" --json
    stop
}
blank flash/plan.flash 4
load 2026-03-30T17:00:00Z --day 2026-03-31 --order 1x2,3 --limit 1=70-90 --do-not-trim 1:58 >flash/plan-first.json
cp flash/plan.plan-flash flash/plan-first.plan-flash
load 2026-04-20T17:00:00Z --day 2026-04-21 --order 2,1x3 --blind >flash/plan.json

# 6. A calliper's setting, proved twice with two callipers, so that both slots are written.
prove() {
    local enter told line
    start flash/calliper.flash --calliper "$1"
    heard "plugged in "
    rm -f enter told && mkfifo enter told
    hornrule --db calliper.db calliper prove --port "$port" --gauge 75.00 <enter >told &
    local person=$!
    exec {enter}>enter {told}<told
    for display in "0.00 mm" "75.00 mm" "-75.00 mm" "-2.9525 in"; do
        echo "$display" >&"$show"
        heard "calliper $display"
        echo >&"$enter"
        while read -r -u "$told" line && [[ $line != *"it shows"* ]]; do :; done
    done
    wait "$person"
    hornrule --db calliper.db calliper --port "$port" --json
    stop
}
prove bcd52,inverted,inch8 >flash/calliper-first.json
cp flash/calliper.calliper-flash flash/calliper-first.calliper-flash
prove words48,zeroed-first >flash/calliper.json

# 7. A database in which an office has done what there is to do.
office() {
    hornrule --db office.db --config office.toml --pretend-now "$@"
}
printf '[said-twice]\nwithin = 8\n[short-after-trimming]\nleast = 58.5\n[due]\nblock-off = 35\n' >office.toml
cp herd.db office.db
printf 'number,tag,name,born\n27,,Nettle,\n58,,Sorrel,\n' >tarn-edge.csv
office 2026-03-23T12:00:00Z herd import tarn-edge.csv --herd "Tarn Edge" --farm 2 --zone Europe/Dublin --yes
office 2026-03-23T12:00:00Z gauge 75.00 --tolerance 0.02 --handheld c0ffee0000000002
office 2026-03-23T15:20:02.76Z pull --port replay:session/codes-1.session
review=(--who Anna --why "looked through")
ours=(--handheld c0ffee0000000001)
office 2026-03-24T08:00:00Z review decide 140 "${ours[@]}" --cow 144 "${review[@]}"
office 2026-03-24T08:01:00Z review decide 140 "${ours[@]}" --set "place=LH lateral" "${review[@]}"
office 2026-03-24T08:02:00Z review decide 192 "${ours[@]}" --set cow=219 "${review[@]}"
office 2026-03-24T08:03:00Z review decide 126 227 "${ours[@]}" --accept "${review[@]}"
office 2026-03-24T08:04:00Z review decide 27 "${ours[@]}" --discard "${review[@]}"
office 2026-03-24T08:05:00Z review take-back 6 --who Anna --why "the plug was loose indeed"
# The list anew, in the farm's own words: one cow has another number, one has left.
sed -e '1s/.*/Stallnummer,Ohrmarke,Name,Geboren/' -e 's/^12,/512,/' -e '/^31,/d' alder-brook.csv >kuehe.csv
office 2026-03-24T09:00:00Z herd import kuehe.csv --herd "Alder Brook" --since 2026-03-20 --yes \
    --map number=Stallnummer --map tag=Ohrmarke --map name=Name --map born=Geboren
office 2026-03-24T09:01:00Z herd set --herd "Alder Brook" --language de --unit mm --paper a4 --target 76 \
    --currency EUR --address "Alder Brook Farm" --address "Long Road 1" --route 2
office 2026-03-24T09:02:00Z herd set --herd "Tarn Edge" --unit inch --paper letter --route 1
mark=(--who Anna --why "calves next week")
office 2026-03-24T09:03:00Z herd mark 58 --herd "Alder Brook" --do-not-trim "${mark[@]}"
office 2026-03-24T09:04:00Z herd mark 63 --herd "Alder Brook" --do-not-trim "${mark[@]}"
office 2026-03-25T09:04:00Z herd mark 63 --herd "Alder Brook" --trim --who Anna --why "has calved"
office 2026-03-24T09:05:00Z trial 1 "wooden block, sanded"
office 2026-03-24T09:05:00Z trial 2 "rubber block"
prices=(--prices "$from/host/demo/prices.toml")
office 2026-03-26T09:00:00Z bill issue --herd "Alder Brook" --until 2026-03-17 --who Anna "${prices[@]}"
# A block that was billed is discarded; its credit note, and a bill for the other farm.
office 2026-03-27T09:00:00Z review decide 256 "${ours[@]}" --discard --who Anna --why "it was no block"
office 2026-03-27T09:01:00Z bill credit 2026-0001 --who Anna --why "it was no block" "${prices[@]}"
office 2026-03-27T09:02:00Z bill issue --herd "Tarn Edge" --until 2026-03-23 --who Anna "${prices[@]}"
hornrule --db office.db --config office.toml backup clean.db
rm -f office.db-wal office.db-shm && mv clean.db office.db

# 8. Exports. Each database has its own day.
export HORNRULE_DB= day= farm= to=
ask() {
    hornrule --pretend-now "${day}T18:00:00Z" "$@"
}
papers() {
    to=exports/$1 && mkdir -p "$to"
    HORNRULE_DB=$1.db day=$2 farm=$3
    local cow=$4 since=${5:-2026-03-01}
    ask export ade --herd "$farm" --out "$to/ade.json" --json >"$to/ade.said.json"
    ask export xlsx --out "$to/herd.xlsx" --from "$since" --json >"$to/xlsx.said.json"
    ask due --day "$day" --ics "$to/due.ics" --csv "$to/due.csv" --html "$to/due.html" >/dev/null
    ask due --day "$day" --json >"$to/due.json"
    ask report visit --herd "$farm" --csv "$to/visit.csv" --html "$to/visit.html" >/dev/null
    ask report visit --herd "$farm" >"$to/visit.txt"
    ask report visit --herd "$farm" --json >"$to/visit.json"
    ask report vet --herd "$farm" --html "$to/vet.html" >/dev/null
    ask report farm --herd "$farm" --csv "$to/farm.csv" --html "$to/farm.html" >/dev/null
    ask report farm --herd "$farm" --json >"$to/farm.json"
    ask cow "$cow" --herd "$farm" --csv "$to/cow.csv" --html "$to/cow.html" >/dev/null
    ask cow "$cow" --herd "$farm" --json >"$to/cow.json"
    ask review list --json >"$to/review.json"
    ask status --no-handheld --json >"$to/status.json"
    ask plan --show --day "$day" --json >"$to/plan.json"
    for answer in blocks healing growth agreement; do
        ask "$answer" --json >"$to/$answer.json"
    done
}
draft() {
    ask bill draft --herd "$farm" --prices "$from/host/demo/prices.toml" --until "$day" "$@"
}
study() {
    ask study sample "$1" --out "$to/sample.csv"
    ask study export "$1" --sample "$to/sample.csv" --out "$to/study" --json >"$to/study.said.json"
}
papers herd 2026-03-18 "Alder Brook" 118
ask report visit --herd "$farm" --pdf "$to/visit.pdf" >/dev/null
ask due --day "$day" --pdf "$to/due.pdf" >/dev/null
draft --json >"$to/bill.json" && draft --csv "$to/bill.csv" --html "$to/bill.html" >/dev/null && draft >"$to/bill.txt"
ask study new "$to/protocol.toml"
study "$to/protocol.toml"

papers season 2026-03-03 "Stony Ford" 2012 2026-02-01
draft --json >"$to/bill.json" && draft --csv "$to/bill.csv" --html "$to/bill.html" >/dev/null && draft >"$to/bill.txt"
sed -e 's/Alder Brook/Stony Ford/' -e 's/^from = .*/from = 2025-05-01/' exports/herd/protocol.toml >"$to/protocol.toml"
study "$to/protocol.toml"
for figure in blocks healing growth agreement gauge; do
    ask plot "$figure" --svg "$to/plot-$figure.svg"
done
for by in severity action; do
    ask plot healing --by "$by" --language de --unit inch --svg "$to/plot-healing-$by.svg"
done

ask() {
    hornrule --config office.toml --pretend-now "${day}T18:00:00Z" "$@"
}
papers office 2026-03-28 "Alder Brook" 512
ask bill list --json >"$to/bills.json"
for number in 1 2 3; do
    ask bill show 2026-000$number --json >"$to/bill-$number.json"
    ask bill show 2026-000$number >"$to/bill-$number.txt"
done
# Events of the earlier file that are said no more go out as deleted; places in the newer words.
ask export ade --herd "Alder Brook" --out "$to/ade.json" --earlier exports/herd/ade.json --positions toes \
    --json >"$to/ade.said.json"
ask herd show --herd "Alder Brook" --json >"$to/herd.json"
ask rules --json >"$to/rules.json"

unset HORNRULE_DB
to=exports/handheld && mkdir -p "$to"
for language in en de; do
    hornrule card --language $language >"$to/card-$language.txt"
done
hornrule card --csv "$to/card.csv" --html "$to/card.html" --pdf "$to/card.pdf"
hornrule card --json >"$to/card.json"
hornrule cues --json >"$to/cues.json"

# 9. The worked images of the three pages about flash, whose bytes were computed apart from our code.
python3 - "$from" <<'END'
import pathlib, re, sys
core = pathlib.Path(sys.argv[1], "firmware/core")
log, plan = ((core / name).read_text(encoding="utf-8") for name in ("FLASH.md", "PLAN.md"))
def listed(name):
    block = log.split(f"<!-- {name} -->\n```text\n")[1].split("```")[0]
    return bytes.fromhex(" ".join(line.split(": ")[1] for line in block.splitlines()))
def commented(name):
    block = plan.split(f"```hex {name}\n")[1].split("```")[0]
    return bytes.fromhex(" ".join(line.split(";")[0] for line in block.splitlines()))
def image(name, pages, parts):
    bytes_ = bytearray(b"\xff" * 1024 * pages)
    for at, part in parts:
        bytes_[at : at + len(part)] = part
    pathlib.Path("flash", name).write_bytes(bytes_)
image("worked.flash", 3, [(0, listed("header")), (16, listed("mark")), (16 + 2 * 48, listed("record"))])
image("worked.plan-flash", 2, [(0, commented("bank"))])
image("worked.calliper-flash", 2, [(0, commented("calliper"))])
END

# 10. What is on each flash, and a log on pages of 4 KiB with the records of `codes`.
for log in demo codes full lapped plan worked; do
    python3 "$here/../../records.py" flash/$log.flash >flash/$log.records.txt
done
large flash/codes.records.txt flash/large.flash
python3 "$here/../../records.py" flash/large.flash 4096 >flash/large.records.txt

# 11. Put together. Flash that nothing was written to is kept once, with the demo's.
rm -f flash/full-2.flash flash/{codes,lapped,plan}.calliper-flash flash/lapped.plan-flash
rm -f flash/calliper.{flash,plan-flash}
mkdir frozen frozen/made
cp "$here"/{make.sh,large.rs,codes.story,full.story} frozen/made
mv herd.db season.db office.db office.toml alder-brook.csv flash session exports frozen
cd frozen
find exports -size +96k \( -name '*.json' -o -name '*.svg' \) ! -path '*/study/*' -exec gzip -9n {} +
python3 "$here/../../digest.py" herd.db season.db office.db >counts.json
