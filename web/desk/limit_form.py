"""The limits' form: read from what was sent, changed row by row, shown again whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from bait.models import Bait, BaitFamily, LimitCounts
from bait.writes.limits import MOST_PARTS, LimitsRaw
from matches.reckon.decimals import point_typed
from matches.reckon.errors import Fault

PART_FIELDS = ("name", "of", "use", "form", "allowed_l", "source")


@dataclass
class PartRow:
    """One part; `of` says what it counts: "kind:animal", "family:worm" or "bait:caster"."""

    name: str = ""
    of: str = "kind:animal"
    use: str = "any"
    form: str = "any"
    allowed_l: str = ""
    source: str = ""
    faults: dict[str, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        return not self.name.strip() and not self.allowed_l.strip()

    def as_raw(self) -> dict[str, str]:
        sort, _colon, key = self.of.partition(":")
        return {
            "name": self.name,
            # A sort of animal bait is animal bait; one bait is that bait, whatever its kind.
            "counts": {"kind": key, "family": "animal", "bait": "any"}.get(sort, ""),
            "family": key if sort == "family" else "",
            "bait": (key or "?") if sort == "bait" else "",
            "use": self.use,
            "form": self.form,
            "allowed_l": point_typed(self.allowed_l),
            "source": self.source,
        }


@dataclass
class LimitsForm:
    """What stands in the form, as text; `faults` are those of no one part."""

    version: str = ""
    groundbait_l: str = ""
    bait_l: str = ""
    source: str = ""
    parts: list[PartRow] = field(default_factory=list)
    faults: dict[str, str] = field(default_factory=dict)

    def edit(self, action: str, *, ban: Bait | None) -> bool:
        """Add or drop a row: "add-part", "drop-part-1", "ban" (with the bait to forbid).

        False for any other action, or a row that is not there.
        """
        if action == "add-part":
            self.parts.append(PartRow())
        elif action == "ban" and ban is not None:
            name = _("No %(bait)s") % {"bait": ban.name}
            self.parts.append(PartRow(name=name, of=f"bait:{ban.key}", allowed_l="0"))
        elif action.startswith("drop-part-") and action[10:] in map(str, range(len(self.parts))):
            del self.parts[int(action[10:])]
        else:
            return False
        return True

    def trim(self) -> None:
        """Leave out the rows nobody filled in."""
        self.parts = [part for part in self.parts if not part.blank]

    def as_raw(self) -> LimitsRaw:
        return {
            "groundbait_l": point_typed(self.groundbait_l),
            "bait_l": point_typed(self.bait_l),
            "source": self.source,
            "parts": [part.as_raw() for part in self.parts],
        }

    def faults_place(self, faults: Iterable[Fault]) -> None:
        """Put each fault at its row; the first one of a field stays."""
        for fault in faults:
            match fault.pointer.split("/")[1:]:
                case ["parts", n, key] if n.isdigit() and int(n) < len(self.parts):
                    held = self.parts[int(n)].faults
                    key = "of" if key == "counts" else key
                case [key, *_rest]:
                    held = self.faults
                case _:
                    continue
            words = fault.message
            held.setdefault(
                key, _("Choose one of the list.") if words.startswith("Use one of") else words
            )


def form_of_limits(raw: LimitsRaw, *, version: str) -> LimitsForm:
    """The form filled from limits as they are kept."""
    return LimitsForm(
        version=version,
        groundbait_l=raw["groundbait_l"],
        bait_l=raw["bait_l"],
        source=raw["source"],
        parts=[
            PartRow(
                name=part["name"],
                of=_of(part),
                use=part["use"],
                form=part["form"],
                allowed_l=part["allowed_l"],
                source=part["source"],
            )
            for part in raw["parts"]
        ],
    )


def form_sent(sent: Mapping[str, str]) -> LimitsForm:
    """The form as it was sent: rows count up from 0 without a hole."""
    form = LimitsForm()
    for key in ("version", "groundbait_l", "bait_l", "source"):
        setattr(form, key, sent.get(key, ""))
    for n in range(MOST_PARTS + 1):
        if f"part-{n}-name" not in sent:
            break
        part = PartRow()
        for key in PART_FIELDS:
            setattr(part, key, sent.get(f"part-{n}-{key}", ""))
        form.parts.append(part)
    return form


def of_choices(baits: Mapping[str, Bait]) -> list[tuple[str, list[tuple[str, str]]]]:
    """What a part may count, in groups as a select shows them."""
    return [
        (_("Kinds"), [(f"kind:{key}", str(words)) for key, words in LimitCounts.choices]),
        (
            _("Sorts of animal bait"),
            [(f"family:{key}", str(words)) for key, words in BaitFamily.choices if key],
        ),
        (_("One bait"), [(f"bait:{key}", bait.name) for key, bait in baits.items()]),
    ]


def _of(part: Mapping[str, str]) -> str:
    if part["bait"]:
        return f"bait:{part['bait']}"
    return f"family:{part['family']}" if part["family"] else f"kind:{part['counts']}"
