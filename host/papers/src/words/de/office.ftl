# The office page of a visit, and what is looked at before the farm goes home. German; written from
# memory, wants a check by a native trimmer.

office-title = { $farm }: fürs Büro
office-clock = Uhr
clock-kept = Die Uhr des Geräts war gestellt: alle Zeiten sind gemessen.

head-before-home = Vor der Abfahrt vom Betrieb
notices-none = Nichts, was noch einmal anzusehen wäre.
notice-block = Klotz auf der Klaue mit dem Befund
notice-block-line = Kuh { $cow }, { $place }: { $lesion }; Klotz seit { $date }
notice-block-note = Ein Klotz entlastet die kranke Klaue nur von der Partnerklaue aus. Den Fuß ansehen; ist nur der Eintrag falsch, ihn berichtigen (`hornrule review`).
notice-wrap = Verband auf einem Geschwür: die Belege sind uneinheitlich
notice-wrap-line = Kuh { $cow }, { $place }: { $lesion }
notice-wrap-note = Zur Kenntnis, nicht als Rat: in einem Vergleich heilten { $bare } von { $bare_of } Sohlengeschwüren ohne Verband und { $wrapped } von { $wrapped_of } mit Verband (Kurzfassung, bib.vetmed.fu-berlin.de). Es ist ein einzelner kleiner Vergleich. Ein Verband, der zu lange bleibt, kann schaden.
notice-short = Kurze Klauenspitzen nach dem Schnitt
notice-short-farm = Kuh { $cow }, { $place }: { $length }; Ziel des Betriebs { $target }
notice-short-holstein = Kuh { $cow }, { $place }: { $length }; Ziel für ausgewachsene Holsteins { $target }
sole-of-short = Sohle an der Spitze { $sole } im Mittel der Hinterklauen unter { $wall }
sole-about = Sohle an der Spitze etwa { $sole }
sole-pair = { $wall } Wand, { $sole } Sohle
notice-short-note = Sohle an der Spitze von Hinterklauen nach der Länge der Wand: Innenklaue { $inner }; Außenklaue { $outer }; dazwischen gerade Linien (Mittel von 800 ungeschnittenen Klauen, Computertomographie, Tsuka et al. 2014). Die einzelne Klaue weicht ab, und keine Länge ist für jede Kuh sicher.
notice-regrown = Mehr neues Horn, als wachsen kann
notice-regrown-line = Kuh { $cow }, { $place }: { $length } nach { $days }; höchstens { $most } können wachsen
notice-regrown-note = Neues Horn wächst in zwei Wochen bestenfalls 1/8 Zoll (3,2 mm; übliche Praxis, ohne Quelle). Blieb loses Horn stehen, oder wurde ein anderes Maß gemessen?

head-missing = Fehlende Angaben
missing-none = Nichts: Anschriften, Tierarzt und Ziel sind eingetragen.
missing-practice = Eigener Name, Anschrift und Telefon für Briefe: [practice] in `hornrule.toml`.
missing-address = Die Anschrift des Betriebs: `hornrule herd set --address`.
missing-vet = Der Tierarzt des Betriebs: `hornrule herd set --vet`.
missing-target = Ein Ziel für die Dorsalwand nach dem Schnitt: `hornrule herd set --target`. Ohne Ziel werden nur ausgewachsene Holsteins gegen { $target } gehalten.
