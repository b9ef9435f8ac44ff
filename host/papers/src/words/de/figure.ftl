# Figures to print. German; written from memory, wants a check by a native trimmer.

figure-key-band = Kurve, 95-%-Band
figure-key-between = zwischen zwei Kontrollen: Verlauf unbekannt
figure-row-followed = verfolgt
figure-method-curve = Kurve: Schätzung nach Turnbull für Zeiten, die nur zwischen zwei Kontrollen bekannt sind. Band: 95 % an jedem Tag, Perzentil-Bootstrap über Kühe, jede mit allen ihren Daten, { $draws } Ziehungen, Startwert { $seed }.
figure-left-out = Nicht gezeichnet, weil es zu wenige Kühe sind (unter zehn) oder der Platz fehlt: { $what }.
figure-not-drawn = Nicht gezeichnet, weil der Platz fehlt: { $what }.

figure-blocks-title = Noch haftende Klötze nach Klebeart
figure-blocks-told = Fallende Kurven: Anteil der noch haftenden Klötze über sechs Wochen ab dem Kleben. Je Klebeart ein Feld mit Band, Kurve der üblichen Art und Zahl der verfolgten Klötze je Woche.
figure-days-glued = Tage seit dem Kleben
figure-share-on = noch haftende Klötze
figure-key-usual = die übliche Art (10)
figure-blocks-n = { $code }: { $n } Klötze von { $cows } Kühen, { $lost } als verloren festgestellt; nach 28 Tagen haften noch { $share }.
figure-blocks-test = { $code } gegen { $held }: Logrank-Test für intervallzensierte Zeiten, { $shuffles } Permutationen, p = { $p } (Holm).
figure-caution-ways = Die Klebeart wurde gewählt, nicht ausgelost: die so und die anders behandelten Kühe können sich unterscheiden.
figure-drawn = ausgelost: { $what }
figure-caution-drawn = Ausgeloste Klebearten stehen so, wie sie ausgelost wurden, gleich was geklebt wurde (Intention to treat).

figure-healing-title = Noch nicht abgeheilte Befunde
figure-healing-told = Fallende Kurven: Anteil noch nicht abgeheilter Befunde über sechs Wochen ab dem Befund. Je Gruppe ein Feld mit Band und Zahl der verfolgten Befunde je Woche.
figure-block-any-way = Klotz geklebt, jede Art
figure-days-found = Tage seit dem Befund
figure-share-open = noch nicht abgeheilt
figure-healing-n = { $what }: { $n } Befunde von { $cows } Kühen, { $healed } abgeheilt gesehen; nach 28 Tagen noch nicht abgeheilt { $share }; Hälfte abgeheilt nach { $days } Tagen (Weibull).
figure-caution-healing = Abgeheilt heißt: bei einer Kontrolle so eingegeben. Behandelte und unbehandelte Kühe unterscheiden sich aus Gründen, die nicht aufgezeichnet sind: gezeigt wird, wie lange die Heilung dauerte, nicht, was sie bewirkte.

figure-growth-title = Wachstum der Dorsalwand abzüglich Abrieb
figure-growth-told = Links: Zuwachs jeder Klaue über den Monaten; Mittelwert und Streuung der Kühe als Geraden durch den Ursprung. Rechts: Wachstum jeder Kuh, aufsteigend.
figure-growth-each = Jeder Wachstumszeitraum
figure-growth-cows = Kuh für Kuh
figure-months = Monate von einem Schnitt zum nächsten
figure-gained = Zuwachs, { $unit }
figure-cows = Kühe, die langsamste zuerst
figure-slope = { $unit } je Monat
figure-key-gain = eine Klaue
figure-key-cow = eine Kuh
figure-key-mean = Mittelwert, 95-%-Intervall
figure-key-mean-only = Mittelwert
figure-key-spread = 95 von 100 Kühen
figure-growth-n = Mittelwert { $slope } { $unit } je Monat (95-%-Intervall); { $cows } Kühe, { $gains } Wachstumszeiträume. Standardabweichung zwischen Kühen { $spread } { $unit } je Monat; 95 von 100 Kühen wachsen { $low } bis { $high }.
figure-method-growth = Verfahren: { $method }. Das Wachstum einer Kuh ist ihre Steigung durch den Ursprung; das gemischte Modell zieht sie zum Mittelwert.
figure-caution-growth = Boden, Weide und Jahreszeit wirken mit. Weggelassene Längen, weil eine Regel sie anzweifelt: { $n }.

figure-agreement-title = Zwei Personen, dieselben Klauen
figure-agreement-told = Differenz der Messungen zweier Personen an einer Klaue über ihrem Mittelwert, mit mittlerer Differenz und Übereinstimmungsgrenzen samt Intervallen. Je Maß ein Feld.
figure-mean-of-two = Mittelwert der beiden, { $unit }
figure-difference = erste minus zweite Person, { $unit }
figure-bias = Mittelwert
figure-lower-limit = untere Grenze
figure-upper-limit = obere Grenze
figure-key-pair = eine Klaue
figure-key-bias = mittlere Differenz
figure-key-limits = Übereinstimmungsgrenzen
figure-agreement-n = { $what }: { $n } Klauen. Mittlere Differenz { $bias } { $unit }; Übereinstimmungsgrenzen { $lower } und { $upper } { $unit } (95-%-Intervalle, schattiert).
figure-method-agreement = Verfahren: Bland und Altman 1986; Grenzen 1,96 Standardabweichungen beiderseits des Mittelwerts, Intervalle nach Student, jede Klaue als unabhängig gezählt.
figure-caution-agreement = Jedes Gerät gilt als eine Person. Die Übereinstimmung gilt für diese Personen, diese Kühe und diese Tage.

figure-gauge-title = Prüfungen mit dem Endmaß
figure-gauge-told = Messwerte des Messschiebers am Endmaß, Prüfung für Prüfung in zeitlicher Folge, mit Mittelwert, Eingriffsgrenzen und erlaubtem Bereich.
figure-handheld = Gerät { $handheld }
figure-checks = Prüfungen in zeitlicher Folge, { $first } bis { $last }
figure-shown = Messwert, { $unit }
figure-mean = Mittelwert
figure-lower-control = untere Grenze
figure-upper-control = obere Grenze
figure-may-be = erlaubt
figure-key-check = eine Prüfung
figure-key-control = Eingriffsgrenzen
figure-key-outside = außerhalb der Grenzen
figure-key-tolerance = Endmaß und Toleranz
figure-gauge-n = { $handheld }: { $n } Prüfungen, Mittelwert { $mean } { $unit }, Eingriffsgrenzen { $low } bis { $high } { $unit }, { $outside } außerhalb.
figure-gauge-few = { $handheld }: { $n } Prüfungen sind zu wenige für Eingriffsgrenzen; acht sind nötig.
figure-method-gauge = Verfahren: Einzelwertkarte; Mittelwert und drei Standardabweichungen aus gleitenden Spannweiten von zwei Werten (3 / 1,128 mal mittlere Spannweite).
