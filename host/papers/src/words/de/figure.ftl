# Figures to print. German; written from memory, wants a check by a native trimmer.

figure-key-band = Kurve, 95-%-Band
figure-key-between = zwischen zwei Blicken: wo, weiß niemand
figure-row-followed = verfolgt
figure-method-curve = Kurve: Schätzung nach Turnbull für Zeiten, die nur zwischen zwei Blicken bekannt sind. Band: 95 % an jedem Tag, Perzentil-Bootstrap der Kühe mit allem, was zu ihnen gehört, { $draws } Ziehungen, Startwert { $seed }.
figure-left-out = Nicht gezeichnet, weil es zu wenige Kühe sind (unter zehn) oder der Platz fehlt: { $what }.
figure-not-drawn = Nicht gezeichnet, weil der Platz fehlt: { $what }.

figure-blocks-title = Klötze, die noch halten, nach Art des Klebens
figure-blocks-told = Fallende Kurven des Anteils der Klötze, die noch halten, über sechs Wochen ab dem Kleben. Je Art des Klebens ein Bild mit Band, Kurve der üblichen Art und Zahl der verfolgten Klötze je Woche.
figure-days-glued = Tage seit dem Kleben
figure-share-on = Klötze, die noch halten
figure-key-usual = die übliche Art (10)
figure-blocks-n = { $code }: { $n } Klötze von { $cows } Kühen, { $lost } verloren gefunden; nach 28 Tagen halten noch { $share }.
figure-blocks-test = { $code } gegen 10: Logrank-Test für intervallzensierte Zeiten, { $shuffles } Vertauschungen, p = { $p } (Holm).
figure-caution-ways = Die Art des Klebens wurde gewählt, nicht ausgelost: Kühe der einen Art können sich von denen der anderen unterscheiden.

figure-healing-title = Befunde, die noch nicht verheilt sind
figure-healing-told = Fallende Kurven des Anteils noch nicht verheilter Befunde über sechs Wochen ab dem Finden. Je Gruppe ein Bild mit Band und Zahl der verfolgten Befunde je Woche.
figure-block-any-way = Klotz geklebt, gleich wie
figure-days-found = Tage seit dem Finden
figure-share-open = noch nicht verheilt
figure-healing-n = { $what }: { $n } Befunde von { $cows } Kühen, { $healed } verheilt gesehen; nach 28 Tagen noch nicht verheilt { $share }; die Hälfte verheilt nach { $days } Tagen (Weibull).
figure-caution-healing = Verheilt ist, was bei einer Nachschau getippt wurde. Behandelte und unbehandelte Kühe unterscheiden sich aus Gründen, die niemand aufgezeichnet hat: Das ist, wie lange es dauerte, nicht, was geheilt hat.

figure-growth-title = Wachstum der Vorderwand abzüglich Abrieb
figure-growth-told = Links, was jede Klaue gewann, über den Monaten, die sie wuchs, mit Mittel und Streuung der Kühe als Strahlen aus dem Nullpunkt. Rechts das Wachstum jeder Kuh, aufsteigend.
figure-growth-each = Jede Zeit des Wachsens
figure-growth-cows = Kuh für Kuh
figure-months = Monate von einem Schnitt zum nächsten
figure-gained = gewonnen, { $unit }
figure-cows = Kühe, die langsamste zuerst
figure-slope = { $unit } je Monat
figure-key-gain = eine Klaue
figure-key-cow = eine Kuh
figure-key-mean = Mittel, 95-%-Intervall
figure-key-mean-only = Mittel
figure-key-spread = 95 von 100 Kühen
figure-growth-n = Mittel { $slope } { $unit } je Monat (95-%-Intervall); { $cows } Kühe, { $gains } Zeiten des Wachsens. Kühe unterscheiden sich um { $spread } { $unit } je Monat (Standardabweichung); 95 von 100 wachsen { $low } bis { $high }.
figure-method-growth = Verfahren: { $method }. Das Wachstum einer Kuh ist ihre Steigung durch den Nullpunkt; das gemischte Modell zieht sie zum Mittel.
figure-caution-growth = Boden, Weide und Jahreszeit stecken darin. Längen, die eine Regel bezweifelt und die hier fehlen: { $n }.

figure-agreement-title = Zwei Menschen, dieselben Klauen
figure-agreement-told = Der Unterschied der Messungen zweier Menschen an einer Klaue über ihrem Mittel, mit mittlerem Unterschied und Übereinstimmungsgrenzen samt Intervallen. Je Maß ein Bild.
figure-mean-of-two = Mittel der beiden, { $unit }
figure-difference = erster minus zweiter, { $unit }
figure-bias = Mittel
figure-lower-limit = untere Grenze
figure-upper-limit = obere Grenze
figure-key-pair = eine Klaue
figure-key-bias = mittlerer Unterschied
figure-key-limits = Übereinstimmungsgrenzen
figure-agreement-n = { $what }: { $n } Klauen. Mittlerer Unterschied { $bias } { $unit }; Übereinstimmungsgrenzen { $lower } und { $upper } { $unit } (95-%-Intervalle, getönt).
figure-method-agreement = Verfahren: Bland und Altman 1986; Grenzen 1,96 Standardabweichungen zu beiden Seiten des Mittels, Intervalle nach Student, jede Klaue einzeln gezählt.
figure-caution-agreement = Zwei Geräte gelten als zwei Menschen. Die Übereinstimmung gilt für diese Menschen, diese Kühe und diese Tage.

figure-gauge-title = Prüfungen mit dem Endmaß
figure-gauge-told = Was der Messschieber am Endmaß zeigte, Prüfung für Prüfung in der Folge der Zeit, mit Mittel, Eingriffsgrenzen und dem, was er zeigen darf.
figure-handheld = Gerät { $handheld }
figure-checks = Prüfungen in der Folge der Zeit, { $first } bis { $last }
figure-shown = gezeigt, { $unit }
figure-mean = Mittel
figure-lower-control = untere Grenze
figure-upper-control = obere Grenze
figure-may-be = erlaubt
figure-key-check = eine Prüfung
figure-key-control = Eingriffsgrenzen
figure-key-outside = außerhalb der Grenzen
figure-key-tolerance = Endmaß und Toleranz
figure-gauge-n = { $handheld }: { $n } Prüfungen, Mittel { $mean } { $unit }, Eingriffsgrenzen { $low } bis { $high } { $unit }, { $outside } außerhalb.
figure-gauge-few = { $handheld }: { $n } Prüfungen sind zu wenige für Eingriffsgrenzen; acht braucht es.
figure-method-gauge = Verfahren: Einzelwertkarte, Mittel und drei Standardabweichungen aus gleitenden Spannweiten von zwei Werten (3 / 1,128 mittlere Spannweiten).
