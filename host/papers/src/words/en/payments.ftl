# What is paid and open. English.

reminders-title = Overdue bills
reminders-on = as of { $date }
reminders-about = Overdue bills by farm, the oldest first
reminders-group = Farm
reminders-farm = { $farm }: { $open } open
reminders-column-bill = Bill
reminders-column-pay-by = Pay by
reminders-column-days = Days overdue
reminders-column-gross = Gross
reminders-column-taken = Paid or credited
reminders-column-open = Open
reminders-none = No bill is overdue.
reminders-no-day = { $n ->
    [one] One open bill names no day to pay by; it is not listed here.
   *[other] { $n } open bills name no day to pay by; they are not listed here.
}
