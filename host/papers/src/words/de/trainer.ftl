# Der Bildschirm zum Üben, die Listen und der Tag auf Zeit. German; wants a check by a native trimmer.

train-title = hornrule practise: { $lesson }
train-which = { $at } von { $of }
train-say = Eingeben
train-shown = So wird es eingegeben
train-keys = Tasten am Rechner
train-heard = Zu hören, sehen, fühlen
train-seen = Zu sehen, fühlen (hier kein Ton)
train-flash = Gespeichert
train-right = Richtig
train-wrong = Was nicht stimmte
train-goes-on = { $figures }. Weiter mit jeder Taste.
train-hint = Leertaste messen  Tab Tasten  H Sätze  N weiter  Esc Ende  Rücktaste UNDO
train-sentences = Sätze { $at } von { $of }: weiter mit H
train-key-foot = Fuß
train-key-clip = messen
train-small = Bitte dieses Fenster auf { $width } mal { $height } oder größer ziehen.
train-green = grün
train-amber = gelb
train-red = rot
train-times = { $said } x{ $n }
train-line-heard = gehört
train-line-flash = gesp.
train-line-slip = Fehler
train-line-given = vorgegeben
train-line-keys = Tasten
train-verdict-right = richtig   { $figures }
train-verdict-not-yet = noch nicht  { $figures }
train-verdict-waiting = wartet auf die erste Taste
train-seconds = { $s } s
train-strokes = { $n ->
    [one] 1 Tastendruck
   *[other] { $n } Tastendrücke
}
train-strokes-longer = { $strokes } (kürzester Weg: { $shortest })
train-slips = { $n ->
    [one] 1 Fehler
   *[other] { $n } Fehler
}
train-total = { $n ->
    [one] 1 Übung: { $right } richtig, { $clean } ohne Fehler
   *[other] { $n } Übungen: { $right } richtig, { $clean } ohne Fehler
}
train-lesson-row = { $n ->
    [one] 1 Übung: { $about }
   *[other] { $n } Übungen: { $about }
}
train-mute = Signale sind nur zu sehen: Keines dieser Programme hat hier einen Ton gespielt: { $tried }
train-no-terminal = zum Üben braucht es ein Terminal; öffnen Sie eines, oder geben Sie die Tasten mit --keys an
train-not-all = die Tasten endeten, bevor die letzte Übung richtig war
train-left-over = { $n } Tasten sind nach der letzten Übung übrig; mehr Übungen gibt es mit --count
train-cows = Kühe
train-about-cows = eine Kuh kommt und geht; ein Betrieb beginnt
train-findings = Befunde
train-about-findings = jeder Befund mit seinem Grad, an Klaue oder Fuß; gesunde Klauen
train-zones = Zonen
train-about-zones = Befunde außerhalb ihrer üblichen Zone
train-actions = Maßnahmen
train-about-actions = jede Maßnahme, an Klaue, Fuß oder Kuh
train-lengths = Maße
train-about-lengths = jedes Maß mit dem Messschieber
train-scores = Beurteilungen
train-about-scores = jede Skala
train-corrections = Berichtigungen
train-about-corrections = UNDO mitten im Satz und danach, für ein Bündel, eine falsche Klaue
train-feet = Füße
train-about-feet = alle vier Füße in einem Satz, oder einer davon
train-bundles = Bündel
train-about-bundles = jedes Bündel des Plans
train-order = Reihenfolge
train-about-order = die Klaue, an der nach dem Plan begonnen wird, und die andere
train-whole-cows = ganze Kühe
train-about-whole-cows = alles, was zu einer Kuh gehört
train-day = der Tag
train-about-day = zehn Kühe auf Zeit: hornrule practise --day

# The ten kinds of cow of the timed day, as on the page of sentences.
train-kind-hind = nur Pflege, zwei Hinterfüße
train-kind-four = nur Pflege, vier Füße
train-kind-walls = vier Füße, Dorsalwände hinten gemessen
train-kind-sound = ohne Befund, nicht geschnitten
train-kind-erosion = Ballenhornfäule, beide Außenklauen hinten
train-kind-dermatitis = Mortellaro, gereinigt, behandelt, Verband
train-kind-ulcer = Sohlengeschwür mit Klotz
train-kind-abscess = Weiße-Linie-Abszess mit Klotz
train-kind-recheck = Kontrolle
train-kind-healed = abgeheilt, Klotz ab
train-day-head = Kuh | Drücke | kürzest | Sekunden | Fehler
train-day-undone = nicht fertig
train-day-shown = * Tasten wurden gezeigt
train-day-total = { $done } von { $of } Kühen fertig: { $presses } Tastendrücke (kürzester Weg: { $shortest }), { $seconds } s, { $slips } Fehler
train-day-each = je Kuh: { $presses } Tastendrücke, { $seconds } s; die schnellste { $least } s, die langsamste { $most } s
train-day-notebook = mit dem Notizbuch dauert es { $least } bis { $most } s je Kuh (übliche Praxis, ohne Quelle): schneller { $quicker }, ebenso { $within }, langsamer { $slower }
train-day-eighty = ein Tag mit 80 Kühen in den Anteilen der Satzseite, in Ihrem Tempo: { $presses } Tastendrücke, { $minutes } min Eingabe
train-day-honest = Die Zeit einer Kuh läuft von der ersten Taste bis zum letzten gespeicherten Wort. Am Rechner sieht man die Tasten, trocken und mit bloßen Händen: mit Handschuhen, blind, neben der Kuh dauert es länger; wie viel, wurde nicht gemessen.
train-day-scripted = Die Tasten wurden vorgegeben, nicht gedrückt: die Sekunden sind die des virtuellen Geräts (0,23 s je Taste) und sagen nichts über eine Hand.

# Its help, where it is not the command line's own.
train-help = Die Tasten des Geräts an einem virtuellen Gerät in diesem Terminal lernen

    Hinter den Tasten läuft das Programm des Geräts selbst. Es zählt nur, was am Ende
    gespeichert ist: eine Übung ist richtig, gleich wie sie eingegeben wurde. Bündel und
    die Klaue, an der begonnen wird, stehen in hornrule.toml unter [plan]; fehlen dort
    Bündel, wird mit fünf Beispielen geübt. Signale sind zu hören, wenn der Rechner ein
    Programm dafür hat. Ohne --log wird nichts aufbewahrt.

    Mit --day kommen zehn Kühe, von jeder Art eine: ein Tag auf Zeit. Tastendrücke und
    Sekunden werden gezählt und mit dem Notizbuch verglichen.

    Im Terminal: Q W E R und A S D F sind die beiden oberen Reihen des Geräts, Ziffern
    sind Ziffern, C ist COW, V ist SCORE, die Leertaste ist der Messschieber. Tab zeigt
    die Tasten, H die Sätze, N geht weiter, Esc beendet.

    Aufruf: hornrule practise [OPTIONEN]
train-option-lesson = nur diese Lektion; --list nennt alle
train-option-day = ein Tag mit zehn Kühen auf Zeit
train-option-count = Zahl der Übungen (10)
train-option-seed = dieselben Übungen noch einmal
train-option-language = Sprache der Übungen, Antworten und dieser Hilfe
train-option-list = die Lektionen; mit --lesson oder --day die Übungen und ihre Tasten
train-option-keys = Tasten, die für Sie gedrückt werden, etwa "COW 27 COW RH FIND 13 2 clip"
train-option-mute = keine Signale abspielen
train-option-log = CSV-Datei, die je Übung eine Zeile bekommt
train-option-json = als JSON, für Skripte (mit --keys)
train-option-help = diese Hilfe
