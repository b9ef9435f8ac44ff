# A cow's history. German; written from memory, wants a check by a native
# trimmer.

cow-title = Kuh { $cow }, { $farm }
cow-born = Geboren am { $date }.
cow-tag = Ohrmarke { $tag }.
cow-never = Sie wurde noch nie im Stand aufgezeichnet.
cow-due = Was fällig ist
cow-due-line = { $date }, { $place }: { $what } ({ $why })
cow-days = Ihre Füße, neuester Tag zuerst
cow-over-time = Zeitlicher Verlauf
caption-area = { $place }: Fläche des Befunds in mm².
caption-wall = { $place }: Dorsalwandlänge in { $unit }.
note-area = Die Fläche ist Länge mal Breite mal π/4, die Fläche einer Ellipse.
note-walls = Dorsalwand: letzte Messung des Tages vor dem Schnitt (hohl) und danach (gefüllt), als getrennte Linien; der Abstand ist, was abgeschnitten wurde.
note-walls-target = Die gestrichelte Linie ist das Ziel des Betriebs.

cow-cases = Ihre Fälle
about-cases = Befunde vom ersten Tag bis zur Heilung, neueste zuerst
column-found-on = Gefunden
column-last-seen = Zuletzt erfasst
column-now = Jetzt
case-open = offen
case-healed = abgeheilt { $date }
case-sound = ohne Befund { $date }
case-out-of-sight = seit { $days } Tagen nicht erfasst
case-replaced = erneut gefunden { $date }
case-again = Rückfall
case-series = { $lesion }, gefunden { $date }
