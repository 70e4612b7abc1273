"""A country's book of rules: which rules there are, which clause each stands for in which edition."""

from __future__ import annotations

from dataclasses import dataclass

from ampwright.facts import TableError, look_up_text, rows
from ampwright.job.record import Job
from ampwright.rules.regulation import Finding, Regulation
from ampwright.working import Check, Trust


@dataclass(frozen=True, slots=True)
class Book:
    """The rules of one country, in reading order."""

    country: str
    regulations: tuple[Regulation, ...]

    def regulation(self, name: str) -> Regulation:
        """The rule of that stable name. Raises KeyError if there is none."""
        for each in self.regulations:
            if each.name == name:
                return each
        raise KeyError(name)

    def editions(self) -> tuple[str, ...]:
        """The editions that the book knows, oldest first."""
        return tuple(row["edition"] for row in rows(f"{self.country}/editions"))

    def edition_for(self, job: Job) -> str:
        """The edition that the job names, else the newest published by the job's date.

        Raises TableError if the job names an edition that the book does not know.
        """
        if job.edition is not None:
            if job.edition not in self.editions():
                raise TableError(f"the book knows no edition {job.edition!r}, only {', '.join(self.editions())}")
            return job.edition
        known = rows(f"{self.country}/editions")
        day = job.date.isoformat() if job.date else "9999"
        published = [row["edition"] for row in known if row["published"] <= day]
        return published[-1] if published else known[0]["edition"]

    def judge(self, job: Job, only: str | None = None) -> tuple[Check, ...]:
        """Every rule's answer on this job (or that of the rule named `only`), with clause and edition."""
        edition = self.edition_for(job)
        asked = self.regulations if only is None else (self.regulation(only),)
        return tuple(self._check(each, each(job), edition) for each in asked)

    def _check(self, rule: Regulation, finding: Finding, edition: str) -> Check:
        clauses = f"{self.country}/clauses"
        return Check(
            rule=rule.name,
            clause=look_up_text(clauses, "clause", rule=rule.name, edition=edition),
            edition=edition,
            asks=rule.asks,
            verdict=finding.verdict,
            says=finding.says,
            needs=finding.needs,
            cautions=tuple(look_up_text(f"{self.country}/cautions", "text", id=each) for each in finding.cautions),
            working=finding.working,
            clause_trust=Trust(look_up_text(clauses, "trust", rule=rule.name, edition=edition)),
        )
