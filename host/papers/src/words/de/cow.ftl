# A cow's history, and the letter to the vet. German; written from memory, wants a check by a native
# trimmer.

cow-title = Kuh { $cow }, { $farm }
cow-born = Geboren am { $date }.
cow-tag = Ohrmarke { $tag }.
cow-never = Sie wurde nie im Stand aufgezeichnet.
cow-due = Was fällig ist
cow-due-line = { $date }, { $place }: { $what } ({ $why })
cow-days = Ihre Füße, der letzte Tag zuerst
cow-over-time = Im Lauf der Zeit
caption-area = { $place }: Fläche des Befunds in mm².
caption-wall = { $place }: Länge der Vorderwand in { $unit }.
note-area = Die Fläche ist Länge mal Breite mal π/4, wie bei einer Ellipse.
note-walls = Vorderwand: die letzte Messung eines Tages vor dem Schnitt (hohl) und danach (voll), jede eine eigene Linie; was dazwischen liegt, wurde abgeschnitten. Eine gestrichelte Linie ist das Ziel des Betriebs.

cow-cases = Ihre Fälle
about-cases = Befunde vom Fund bis zur Heilung, der letzte zuerst
column-found-on = Gefunden am
column-last-seen = Zuletzt erwähnt
column-now = Jetzt
case-open = offen
case-healed = abgeheilt { $date }
case-sound = gesund { $date }
case-out-of-sight = seit { $days } Tagen nicht erwähnt
case-replaced = neu gefunden { $date }
case-again = wieder
case-series = { $lesion }, gefunden { $date }

letter-title = An den Tierarzt, über Kühe von { $farm }
letter-opening = Diese Kühe wurden bei der Klauenpflege gesehen und Ihnen überwiesen. Unten steht, was am Stand getippt wurde; ein Klauenpfleger stellt keine Diagnose.
letter-nobody = Von diesem Besuch wurde keine Kuh überwiesen, und keine Regel verlangt den Tierarzt.
letter-findings = Was gefunden und getan wurde
letter-medicines = Mittel und Schmerzmittel stehen hier nur, wo jemand sie getippt hat, ohne Produktname, Dosis und Wartezeit.
