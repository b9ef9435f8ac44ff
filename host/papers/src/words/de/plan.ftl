# The sheet of a day's plan. German; wants a check by a native trimmer.

plan-title = Plan für { $date }
plan-key = In jedem Betrieb COW 0, die Ziffer des Betriebs, COW drücken. Die Ziffern gelten nur für diesen Plan.
plan-none-due = { $cows }, nichts fällig
plan-due = { $cows }, { $due } fällig
plan-number = Plan { $number }
plan-about = Was fällig ist, nach Hof und Kuh
plan-group = Betrieb
plan-farm = { $key }: { $farm }
plan-vet = Tierarzt
plan-do-not-trim = nicht schneiden
plan-recheck = Kontrolle { $feet }
plan-block-off = Klotz oder Verband abnehmen { $feet }
plan-trim = schneiden { $feet }
plan-whole-cow = schneiden oder ansehen
plan-drawn = Für { $cows } ist ausgelost, wie ein Klotz geklebt wird. Vor dem Kleben DO 10 drücken; dann sagt das Gerät die Art.
