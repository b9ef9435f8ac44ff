//! What is paid and open on a bill, its supplements and its credit notes.

use hornrule_facts::Day;
use hornrule_facts::bill::payment::standing;
use hornrule_facts::bill::{Bill, BillKind, Money, NotedPayment};

/// A bill or supplement, and what is open on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// The bill.
    pub bill: Bill,
    /// What is left of its gross when credits and payments are taken off: never less than zero.
    pub open: Money,
}

impl Paper {
    /// By how many days its day to pay by has passed; `None` where nothing is open, no day is named
    /// or the day has not passed.
    #[must_use]
    pub fn overdue(&self, today: Day) -> Option<u32> {
        let due = self.bill.due.filter(|_| self.open > Money(0))?;
        u32::try_from(i64::from(today.0) - i64::from(due.0)).ok().filter(|days| *days > 0)
    }
}

/// One bill with all that belongs to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The bill, then its supplements by their number.
    pub papers: Vec<Paper>,
    /// Gross of bill and supplements.
    pub owed: Money,
    /// Gross of the credit notes, as a positive number.
    pub credited: Money,
    /// What was paid and not taken back.
    pub paid: Money,
}

impl Account {
    /// What is open; less than zero where more was paid than is owed.
    #[must_use]
    pub const fn open(&self) -> Money {
        Money(self.owed.0 - self.credited.0 - self.paid.0)
    }
}

/// The accounts of all first bills, in their order.
#[must_use]
pub fn accounts(bills: &[Bill], noted: &[NotedPayment]) -> Vec<Account> {
    bills.iter().filter(|bill| bill.kind.of().is_none()).map(|one| of(one, bills, noted)).collect()
}

fn of(first: &Bill, bills: &[Bill], noted: &[NotedPayment]) -> Account {
    let further = bills.iter().filter(|bill| bill.kind.of() == first.number.as_ref());
    let all: Vec<&Bill> = [first].into_iter().chain(further).collect();
    let (credits, papers): (Vec<&Bill>, Vec<&Bill>) =
        all.iter().partition(|bill| matches!(bill.kind, BillKind::Credit { .. }));
    let credited = -credits.iter().map(|bill| bill.gross().0).sum::<i64>();
    let hers = |one: &&NotedPayment| {
        papers.iter().any(|bill| bill.number.as_ref() == Some(&one.payment.bill))
    };
    let paid = standing(noted).filter(hers).map(|one| one.payment.amount.0).sum::<i64>();
    let mut left = credited + paid;
    let papers: Vec<Paper> = papers
        .into_iter()
        .map(|bill| {
            let gross = bill.gross().0;
            let taken = left.clamp(0, gross.max(0));
            left -= taken;
            Paper { bill: bill.clone(), open: Money(gross - taken) }
        })
        .collect();
    let owed = Money(papers.iter().map(|paper| paper.bill.gross().0).sum());
    Account { papers, owed, credited: Money(credited), paid: Money(paid) }
}

/// What is overdue on a day, farm by farm: the farm with the oldest first, in a farm the oldest
/// first.
#[must_use]
pub fn reminders(accounts: &[Account], today: Day) -> Vec<(&Paper, u32)> {
    let papers = accounts.iter().flat_map(|account| &account.papers);
    let mut all: Vec<(&Paper, u32)> =
        papers.filter_map(|paper| Some((paper, paper.overdue(today)?))).collect();
    all.sort_by_key(|(paper, _)| (paper.bill.due, paper.bill.number.clone()));
    let farms: Vec<_> = all.iter().map(|(paper, _)| paper.bill.herd).collect();
    all.sort_by_key(|(paper, _)| farms.iter().position(|farm| *farm == paper.bill.herd));
    all
}
