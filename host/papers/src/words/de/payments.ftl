# Was bezahlt und was offen ist. Deutsch.

reminders-title = Überfällige Rechnungen
reminders-on = Stand { $date }
reminders-about = Überfällige Rechnungen nach Betrieben, die älteste zuerst
reminders-group = Betrieb
reminders-farm = { $farm }: { $open } offen
reminders-column-bill = Rechnung
reminders-column-pay-by = Zahlbar bis
reminders-column-days = Tage überfällig
reminders-column-gross = Brutto
reminders-column-taken = Bezahlt oder gutgeschrieben
reminders-column-open = Offen
reminders-none = Keine Rechnung ist überfällig.
reminders-no-day = { $n ->
    [one] Eine offene Rechnung nennt keinen Zahlungstermin; sie steht nicht in dieser Liste.
   *[other] { $n } offene Rechnungen nennen keinen Zahlungstermin; sie stehen nicht in dieser Liste.
}
