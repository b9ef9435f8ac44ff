# The report of a visit. German, as claw trimmers say it; written from memory, wants a check by a
# native trimmer.

visit-title = { $farm }: Klauenpflege
visit-recorded-by = { $date }. Aufgezeichnet mit Gerät { $handhelds }.
visit-vet-now = Sofort den Tierarzt
visit-vet-to-see = Dem Tierarzt vorstellen
visit-vet-none = Für den Tierarzt wurde nichts eingegeben, und keine Regel verlangt ihn.
visit-line-of-cow = Kuh { $cow }, { $place }: { $why }
visit-line-of-cow-only = Kuh { $cow }: { $why }
because-keyed = eingegeben: { $days }
because-keyed-by-trimmer = vom Klauenpfleger eingegeben
because-rule = Regel: { $why }, { $days }*
because-vet-rule = Regel: { $why }*
why-phlegmon = Panaritium
why-dermatitis = Mortellaro im aktiven Stadium
why-found = immer zu kontrollieren
why-treated-lesion = behandelter Befund
why-not-healed = noch nicht abgeheilt
why-block-glued = Klotz geklebt
why-wrapped = Verband angelegt
why-trimmed = geschnitten
why-vet-now = sofort den Tierarzt
why-vet-to-see = dem Tierarzt vorstellen
why-toe-necrosis = Klauenspitzennekrose
why-swelling = schwere Schwellung über dem Horn
what-see-again = Kontrolle
what-see-again-vet = Kontrolle; Tierarzt, wenn nicht besser
what-block-off = Klotz abnehmen
what-wrap-off = Verband abnehmen
what-ask-vet = nach dem Befund des Tierarztes fragen
what-trim = schneiden
starred = * Übliche Praxis, ohne Quelle. Ein eingegebener Tag schiebt nichts hinaus, was immer zu kontrollieren ist.

number-lame = Lahm
note-denominators = Neu: an diesem Tag gefunden. Offen: früher gefunden, nicht abgeheilt, in den letzten { $days } Tagen erfasst. Anteile: von den { $examined } untersuchten Kühen. Nur beurteilte, nur fürs Büro eingegebene und nicht vorgeführte zählen nicht mit.
note-times-estimated = Einige Uhrzeiten dieses Tages sind geschätzt, weil die Uhr des Geräts nicht gestellt war.

head-next = Was fällig ist
next-none = Nach diesem Besuch ist nichts fällig.
next-overdue = überfällig seit { $date }
column-day = Bis
column-cow = Kuh
column-where = Wo
column-what = Was
column-why = Warum
about-next = Was nach dem Besuch fällig ist, das Früheste zuerst

head-lesions = Befunde
lesions-none = Kein neuer Befund, und keiner ist noch offen.
about-lesions = Neue und noch offene Befunde des Tages, die häufigsten zuerst
column-lesion = Befund
column-cows = Kühe
column-claws-or-feet = Klauen oder Füße
column-open = Offen
column-how-bad = Schweregrad
caption-shares = Kühe mit neuem oder offenem Befund, von den untersuchten Kühen. Der Strich ist das 95-%-Intervall (Wilson).
alt-shares = Anteil der Kühe mit neuem oder offenem Befund je Besuch: { $visits }
visit-share = { $date } { $share } ({ $counts })

head-earlier = Vergleich mit früheren Besuchen
earlier-none = Für diese Herde gibt es keinen früheren Besuch.
about-earlier = Anteil der Kühe mit jedem Befund bei diesem und dem letzten Besuch
column-this-visit = Dieser Besuch
column-last-visit = { $date }
row-any-lesion = irgendein Befund
note-earlier = Kühe mit dem Befund, neu oder offen, von den untersuchten Kühen; in Klammern das 95-%-Intervall (Wilson). Intervalle, die sich weit überlappen, zeigen keinen Unterschied. Die Auswahl der Kühe kann einen Anteil stärker ändern als die Herde.

head-cows = Kuh für Kuh
cows-none = An diesem Tag wurde keine Kuh aufgezeichnet.
about-cows = Befunde und Maßnahmen an jedem Fuß
column-found = Befund
column-grade = Grad
column-zone = Zone
column-done = Maßnahme
column-wall = Wand ({ $unit })
lame-score = { $scale } { $value } (lahm)
plain-score = { $scale } { $value }
note-cows-brief = Hier stehen nur Klauen mit Befund oder Maßnahme, ohne Wandlängen: die stehen unten und in der Historie jeder Kuh. Eine Zone in Klammern wurde nicht eingegeben; sie ist die für den Befund übliche.
note-cows = Wand: Dorsalwandlänge, letzte Messung vor und nach dem Schnitt. Eine Zone in Klammern wurde nicht eingegeben; sie ist die für den Befund übliche.
cows-lame = Lahm, kein Befund, keine Maßnahme: { $cows }.
cows-only-trimmed = Geschnitten, kein Befund: { $cows }.
cows-only-looked = Untersucht, nicht geschnitten, kein Befund: { $cows }.
in-zone = Zone { $zone }
cows-nothing = Im Stand, zu keinem Fuß etwas eingegeben: { $cows }.
wall-before = { $length } vorher
wall-after = { $length } nachher
also-trimmed = auch geschnitten: { $places }

head-lengths = Messungen
lengths-none = Es wurde nichts gemessen.
about-lengths = Längen nach Maß, vor und nach dem Schnitt
column-dimension = Maß ({ $unit })
column-when = Zeitpunkt
column-readings = Messungen
column-least = Kleinste
column-middle = Median
column-most = Größte
before-trimming = vor dem Schnitt
after-trimming = nach dem Schnitt
walls-very-short = Nach dem Schnitt sehr kurz, die Sohle an der Spitze kann dünn sein; auf den Gang achten: Kuh { $cows }.
lengths-unchecked = { $n ->
    [one] Eine Messung wurde an diesem Tag ohne bestandene Prüfung des Messschiebers gemacht und kann abweichen.
   *[other] { $n } Messungen wurden an diesem Tag ohne bestandene Prüfung des Messschiebers gemacht und können abweichen.
}
note-middle = Median: die Hälfte der Messungen liegt darunter.
target-kept = Keine der { $measured } nach dem Schnitt gemessenen Klauen ist kürzer als das Ziel des Betriebs von { $target }.
target-short = { $short } von { $measured }, nach dem Schnitt gemessen, kürzer als das Ziel: die Sohle an der Spitze kann dünn sein
target-short-line = Kuh { $cow }, { $place }: { $length } (Ziel { $target })
note-target = Auf den Gang einer Kuh mit kurzer Klauenspitze achten. Keine Länge ist für jede Kuh sicher: große Kühe brauchen mehr, und die Sohlendicke ist von außen nicht zu sehen.

head-gauge = Prüfung des Messschiebers
gauge-none = An diesem Tag wurde kein Endmaß gemessen; wie weit den Längen zu trauen ist, ist nicht bekannt. Vor der Arbeit und nach einem Sturz ein Endmaß messen.
gauge-passed = Gerät { $handheld } maß sein Endmaß mit { $lengths }: bestanden.
gauge-failed = Gerät { $handheld } maß sein Endmaß mit { $lengths }: nicht jede Prüfung bestanden. Messschenkel reinigen, nullen und neu prüfen, bevor den Längen zu trauen ist.
gauge-unknown = Gerät { $handheld } maß sein Endmaß mit { $lengths }: die Größe des Endmaßes ist im Büro nicht bekannt; ob das stimmt, lässt sich nicht sagen.
gauge-unchecked = { $n ->
    [one] Vor einer Messung war an diesem Tag keine Prüfung bestanden.
   *[other] Vor { $n } Messungen war an diesem Tag keine Prüfung bestanden.
}

held-for-farmer = { $n ->
    [one] Ein Eintrag wird noch im Büro geprüft und steht nicht in diesem Bericht.
   *[other] { $n } Einträge werden noch im Büro geprüft und stehen nicht in diesem Bericht.
}
block-on-lesion = Diesen Klotz ansehen oder uns anrufen
block-on-lesion-line = Kuh { $cow }, { $place }: der Klotz sitzt vielleicht auf der Klaue mit dem Befund, { $lesion }

head-check = Zurückgehalten, berichtigt, zu prüfen
check-none = Nichts: jeder Eintrag war vollständig und plausibel.
held-n = { $n ->
    [one] { $n } Eintrag wartet auf eine Entscheidung (`hornrule review`) und steht in keinem Bericht.
   *[other] { $n } Einträge warten auf eine Entscheidung (`hornrule review`) und stehen in keinem Bericht.
}
settled-n = { $n ->
    [one] { $n } Eintrag wurde im Büro entschieden.
   *[other] { $n } Einträge wurden im Büro entschieden.
}
check-held = Zurückgehalten
check-flagged = In den Berichten, bitte prüfen
check-settled = Im Büro entschieden
remark-of-cows = { $what } ({ $n ->
    [one] einmal
   *[other] { $n }-mal
}; Kuh { $cows })
remark-times = { $sentence } ({ $n ->
    [one] einmal
   *[other] { $n }-mal
})
unplaced-n = { $n ->
    [one] Außerdem gehört ein Hinweis in der Datenbank zu keinem bekannten Betrieb. Die fehlende Herdenliste einlesen.
   *[other] Außerdem gehören { $n } Hinweise in der Datenbank zu keinem bekannten Betrieb. Die fehlenden Herdenlisten einlesen.
}
head-cautions = Vorsicht
