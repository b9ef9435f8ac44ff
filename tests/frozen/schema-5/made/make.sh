#!/usr/bin/env bash
# What stands in tests/frozen/schema-5, as it was made: by the office tool as it wrote database schema 5, in an empty
# folder.
#
#   PATH=folder-of-hornrule:$PATH  make.sh CHECKOUT
#
# For the record: nothing is made again.
set -euo pipefail
from=$(cd "$1" && pwd)
said=$from/tests/frozen/0.1.0

# 1. The demo.
hornrule demo --no-pdf
hornrule --db hornrule-demo/herd.db backup herd.db

# 2. An office: a second farm whose handheld had a plan, decisions on farms, settings, closings.
office() {
    hornrule --db office.db --pretend-now "$@"
}
cp herd.db office.db
cp "$said/session/codes-1.session" .
printf 'number,tag,name,born\n27,,Nettle,\n58,,Sorrel,\n' >tarn-edge.csv
office 2026-03-23T12:00:00Z herd import tarn-edge.csv --herd "Tarn Edge" --farm 2 --zone Europe/Dublin --yes
printf 'number\n9\n' >long-fen.csv
office 2026-03-23T12:00:00Z herd import long-fen.csv --herd "Long Fen" --zone Europe/Paris --yes
office 2026-03-23T15:20:02.76Z pull --port replay:codes-1.session
ours=(--handheld c0ffee0000000001)
who=(--who Anna --why "looked through")
office 2026-03-24T08:00:00Z review decide 140 "${ours[@]}" --cow 144 "${who[@]}"
office 2026-03-24T08:01:00Z review decide 27 "${ours[@]}" --discard "${who[@]}"
# The second visit was keyed at the wrong farm, they thought, and saw the next day that it was not.
visit=$(sqlite3 "file:office.db?mode=ro" \
    "SELECT seq FROM visit WHERE device = -4539648215598759935 ORDER BY seq DESC LIMIT 1")
office 2026-03-24T08:02:00Z review decide "$visit" "${ours[@]}" --set farm=2 "${who[@]}"
decision=$(sqlite3 "file:office.db?mode=ro" "SELECT max(decision) FROM decision")
office 2026-03-25T08:02:00Z review take-back "$decision" --who Anna --why "it was Alder Brook"
# The first of the other handheld was at farm 2.
visit=$(sqlite3 "file:office.db?mode=ro" \
    "SELECT seq FROM visit WHERE device <> -4539648215598759935 ORDER BY seq LIMIT 1")
office 2026-03-25T08:03:00Z review decide "$visit" --handheld c0ffee0000000002 --set farm=2 "${who[@]}"
office 2026-03-24T09:01:00Z herd set --herd "Alder Brook" --language de --target 76 --route 2
office 2026-03-24T09:02:00Z herd set --herd "Tarn Edge" --route 1
office 2026-03-24T10:00:00Z due done 188 --herd "Alder Brook" --duty vet --who Anna --why "vet: seen, keep dry"
office 2026-03-24T10:01:00Z due done 27 --herd "Alder Brook" --duty block-off --who Anna --why "farmer took it off"
office 2026-03-24T10:02:00Z due done 27 --herd "Alder Brook" --duty block-off --take-back --who Anna --why "was 85"
hornrule --db office.db backup clean.db
rm -f office.db-wal office.db-shm && mv clean.db office.db

rm -rf hornrule-demo codes-1.session tarn-edge.csv long-fen.csv
python3 "$from/tests/frozen/digest.py" herd.db office.db >counts.json
