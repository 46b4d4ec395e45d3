"""A studio's year: clients ring, proposals go out, jobs are made. What is written is written by the
services that the site's views call; what really happens in the workshop is the floor's, what clients do is
drawn from a stream of its own."""

from collections import Counter
from datetime import timedelta

from studio.making.booked import summed, takes
from studio.workshop.bookings import booked, open_jobs
from tests.year.base import DAY
from tests.year.floor import is_worked
from tests.year.sold import SoldJobs

__all__ = ["Year"]


class Year(SoldJobs):
    def run(self, days: int, troubles: bool = True) -> None:
        """So many days in which clients ring, then as long as something that is sold is not handed over."""
        if troubles:
            self.expect_troubles(days)
        last = self.on + timedelta(days=days)
        while self.on < last or self.agenda or self.asked or self.open():
            assert self.on < last + timedelta(days=400), self.open()
            self.a_day(rings=self.on < last)
            self.on += DAY

    def told(self) -> str:
        held = sum(each.held for each in self.kept)
        clients = f"{self.enquiries} enquiries, {self.yeses} yeses"
        return f"seed {self.seed}: {clients}, {len(self.kept)} final days, {held} held"

    def a_day(self, rings: bool) -> None:
        self.at(8)
        for day in sorted(day for day in self.agenda if day <= self.on):
            for act in self.agenda.pop(day):
                act()
        self.answers()
        if not is_worked(self.on):
            return
        if rings:
            self.telephone()
        self.shelf.arrive(self.on)
        for sold in self.open():
            self.release_if_it_can(sold)
        away = self.work_on_site()
        self.shelf.order(self.needed(), self.on)
        if self.on.isoweekday() == 1:
            self.look_through_bookings()
        self.at(17)
        self.floor.work(self.on, self.hours, self.out, self.shelf.take, away)
        for sold in self.open():
            self.look_after(sold)

    def look_through_bookings(self) -> None:
        """The workshop's sums are those of the jobs that are sold or held, and no commission has two."""
        jobs = [*open_jobs(by_hand=False)]
        taking = [job for job in jobs if takes(job.state, job.held_until, self.on)]
        if summed(job.amounts for job in taking) != booked(self.on).taken:
            self.booked_twice.append(f"{self.on}: the sums are not those of the jobs")
        ours = Counter(job.source.partition("-")[0] for job in taking if "-hanging-" not in job.source)
        sold = {each.commission.public_id for each in self.open()}
        held = {job.source.partition("-")[0] for job in taking if job.state == "held"}
        if (ours and max(ours.values()) > 1) or set(ours) - held != sold:
            self.booked_twice.append(f"{self.on}: {ours} of {sold} sold and {held} held")
