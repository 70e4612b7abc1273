"""Past jobs on a page: what is asked of them, which hold it, and what other rules would say of those."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

from fastapi import APIRouter, Request, Response

from ampwright.assess.book import BOOK
from ampwright.assess.recall.again import Again, Rules
from ampwright.assess.recall.condition import SIGNS, Holds
from ampwright.assess.recall.finding import Found, Hit
from ampwright.deliver.documents.recorded import value_words
from ampwright.deliver.recall import NOTE, Recalled
from ampwright.deliver.recalling import AS_THEY_ARE, Asking, BadAsking, day_of, recalled
from ampwright.deliver.web.look import show
from ampwright.deliver.web.looking_back import begun_again, found_again, jobs_of
from ampwright.deliver.web.runs import begun
from ampwright.deliver.web.site import Form, Here, Site, title_of
from ampwright.job.fields import fields, in_words

ROWS_COUNT, MOST_ROWS_COUNT, LONGEST_COUNT = 2, 12, 200
SHOWN_JOBS_COUNT, SHOWN_HITS_COUNT = 100, 6
SIGN_WORDS = {"=": "is", "!=": "is not", ">=": "is at least", "<=": "is at most", ">": "is over", "<": "is under",
              "~": "holds the words", "": "has anything said"}  # fmt: skip
GROUPS = {Holds.YES: ("Holds", "met"), Holds.MAY: ("Left open: the survey left a range", "not-known"),
          Holds.NOT_LOOKED: ("Cannot be told: nobody looked", "not-here")}  # fmt: skip
router = APIRouter(default_response_class=Response)


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed: rows of field, sign and value, words anywhere, an edition's name, and by what to judge again."""

    rows: tuple[tuple[str, str, str], ...]
    says: str
    under: str
    edition: str
    day: str

    @classmethod
    def of(cls, pairs: list[tuple[str, str]]) -> Typed:
        """From the pairs of an address, too long and too many of them cut off."""
        many = {name: [value.strip()[:LONGEST_COUNT] for key, value in pairs if key == name]
                for name in ("field", "sign", "value", "says", "under", "edition", "day")}  # fmt: skip
        rows = zip(many["field"], many["sign"], many["value"], strict=False)
        return cls(tuple(each for each in rows if each[0] or each[2])[:MOST_ROWS_COUNT],
                   *("".join(many[name][:1]) for name in ("says", "under", "edition", "day")))  # fmt: skip

    @property
    def query(self) -> str:
        """The part of the address that asks the same, but for how to judge again."""
        pairs = [pair for row in self.rows for pair in zip(("field", "sign", "value"), row, strict=True)]
        return urlencode([*pairs, ("says", self.says), ("under", self.under)])

    def asking(self) -> Asking:
        """What is asked, without judging again."""
        conditions = tuple(f"{field} {sign} {value}".strip() if sign else field for field, sign, value in self.rows)
        return Asking(conditions, (self.says,) if self.says else (), self.under)

    def judging(self) -> Asking:
        """And by what to judge again. Raises BadAsking."""
        asked = self.asking()
        rules = Rules(self.edition or None, day_of(self.day))
        if rules == AS_THEY_ARE:
            raise BadAsking(("edition", "choose an edition, or a day, to judge by"))
        return Asking(asked.conditions, asked.words, asked.under, rules)


@dataclass(frozen=True, slots=True)
class RecallPage:
    """What was asked, who holds it, and what was judged otherwise."""

    typed: Typed
    asked: bool
    found: Recalled | None
    again: Recalled | None
    faults: tuple[str, ...] = ()
    again_faults: tuple[str, ...] = ()
    note: str = NOTE
    most_count: int = SHOWN_JOBS_COUNT
    most_hits_count: int = SHOWN_HITS_COUNT

    @property
    def rows(self) -> tuple[tuple[str, str, str], ...]:
        """The rows to type in: those there are and an empty one, two at least."""
        count = min(MOST_ROWS_COUNT, max(ROWS_COUNT, len(self.typed.rows) + 1))
        return (*self.typed.rows, *[("", "=", "")] * count)[:count]

    @property
    def signs(self) -> tuple[tuple[str, str], ...]:
        """Each sign and its words."""
        return tuple((sign, SIGN_WORDS[sign]) for sign in ("=", *(each for each in SIGNS if each != "="), ""))

    @property
    def names(self) -> tuple[str, ...]:
        """What a field may be called."""
        return tuple(dict.fromkeys(each.asks for each in fields().values()))

    @property
    def editions(self) -> tuple[str, ...]:
        """The editions that the book knows, the newest first."""
        return BOOK.editions()[::-1]

    @property
    def groups(self) -> tuple[tuple[str, str, tuple[Found, ...]], ...]:
        """The jobs by how sure it is, what holds first."""
        every = self.found.found if self.found else ()
        groups = ((*GROUPS[holds], tuple(each for each in every if each.holds is holds)) for holds in GROUPS)
        return tuple(each for each in groups if each[2])

    @property
    def moved(self) -> tuple[tuple[Found, Again], ...]:
        """The jobs that would be judged otherwise."""
        named = {each.name: each for each in self.again.found} if self.again else {}
        return tuple((named[each.name], each) for each in self.again.differing) if self.again else ()

    def title(self, of: Found) -> str:
        """What a job is called."""
        return title_of(of.job)

    def hit(self, hit: Hit) -> str:
        """A place and what stands there."""
        return f"{in_words(hit.path)}: {value_words(hit.path, hit.value) or 'not looked at'}"


@router.get("/recall")
def recall(request: Request, site: Here) -> Response:
    """The questions, and the jobs once something was asked."""
    typed = Typed.of(request.query_params.multi_items())
    return _shown(request, site, typed, asked=bool(request.query_params))


@router.post("/recall/again")
def again(request: Request, site: Here, typed: Form) -> Response:
    """Judge what was found again."""
    pairs = parse_qsl(typed.get("asked", ""), keep_blank_values=True)
    wanted = Typed.of([*pairs, ("edition", typed.get("edition", "")), ("day", typed.get("day", ""))])
    try:
        run = begun_again(site.runs, site.store, wanted.judging())
    except BadAsking as bad:
        return _shown(request, site, wanted, asked=True, again_faults=tuple(says for _, says in bad.faults))
    return begun(request, run, f"/recall?{wanted.query}&{urlencode({'edition': wanted.edition, 'day': wanted.day})}")


def _shown(request: Request, site: Site, typed: Typed, *, asked: bool, again_faults: tuple[str, ...] = ()) -> Response:
    found, judged, faults = None, None, list[str]()
    try:
        if asked:
            found = recalled(jobs_of(site.store), typed.asking())
        if found and (typed.edition or typed.day) and not again_faults:
            judged = found_again(site.runs, site.store, typed.judging())
    except BadAsking as bad:
        faults = [says for _, says in bad.faults]
    page = RecallPage(typed, asked, found, judged, tuple(faults), again_faults)
    return show(request, "recall", page, 422 if faults or again_faults else 200)
