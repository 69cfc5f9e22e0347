"""No write forgets the trail."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parents[1]
CHANGES = {
    "create", "bulk_create", "get_or_create", "update_or_create",
    "update", "bulk_update", "save", "delete",
}  # fmt: skip
#: Public writes that leave no row of their own, and why none is needed.
WITHOUT = {
    "account_erase": "called within a person erased, after the row in each club's trail",
    "api_token_used": "the day of use, and nothing that anybody did to the club",
    "api_tokens_sweep": "what ended of itself; making and revoking are in the trail",
    "attempt_begin": "a count of tries, gone after a day and nothing of a club",
    "attempt_fitted": "as attempt_begin",
    "attempts_sweep": "as attempt_begin",
    "audit_record": "the trail itself",
    "bag_tick": "a tick is its own row, and nothing is reckoned from it",
    "bag_untick": "as bag_tick",
    "bulletin_tell": "called within a bulletin published, which records it",
    "deliveries_sweep": "messages that were taken or given up a month ago",
    "delivery_add": "called within what it tells of, which records it",
    "draw_ask": "called within a draw held or begun, which records it",
    "explanation_make": "words about a version that stays as it is",
    "import_columns_choose": "how a file that is not imported yet is read",
    "import_columns_remember": "how the next such file is read; its import is in the trail",
    "import_file_done": "the import itself is in the trail",
    "import_file_keep": "a file looked at, gone in a day",
    "import_files_sweep": "as import_file_keep",
    "feed_throws_keep": "each throw is a fact, a trail of its own",
    "light_choose": "how one's own screen looks, and nothing of a club",
    "league_table_tell": "as bulletin_tell",
    "letter_sent": "a letter is its own row, gone when it is sent",
    "letter_write": "as letter_sent; called within what it tells of, which is recorded",
    "letters_take": "as letter_sent",
    "notice_write": "as letter_write",
    "notices_put_away": "what somebody has read, and nothing of a club",
    "second_begin": "a secret that counts for nothing before second_confirm, which records it",
    "sessions_sweep": "only what has ended, and nothing of a club",
    "lot_move": "called within a write of the larder, which records it",
    "season_answer_make": "what notes and results come to, which stay as they are",
    "published_rename": "called within a person erased or a junior set, which lists what it did",
    "pegs_save": "called within a draw held or told, which records it",
}
#: How far a worker is, and who holds a row: nothing that an order is read from.
WORK = {
    "work_ask",
    "work_renew",
    "work_finish",
    "work_fail",
    "work_claim",
    "work_sweep",
    "work_held",
    "delivery_claim",
    "delivery_taken",
    "delivery_refused",
}
#: Facts are a trail of their own; none is read into an order.
FACTS = "matches/writes/facts/"


def functions() -> dict[str, tuple[str, set[str]]]:
    """Of every function in the writes: the file it is in, and the names it calls."""
    found: dict[str, tuple[str, set[str]]] = {}
    for room in ("bait", "matches"):
        for path in sorted((ROOT / room / "writes").rglob("*.py")):
            where = str(path.relative_to(ROOT))
            for node in ast.parse(path.read_text()).body:
                if isinstance(node, ast.FunctionDef):
                    found[f"{where}:{node.name}"] = (where, called(node))
    return found


def called(node: ast.AST) -> set[str]:
    """Also names that are handed on, as a step's act is."""
    names = {n.id for n in ast.walk(node) if isinstance(n, ast.Name)}
    return names | {f".{n.attr}" for n in ast.walk(node) if isinstance(n, ast.Attribute)}


def reach(start: str, *, known: dict[str, tuple[str, set[str]]]) -> set[str]:
    """Every name that the function comes to: those of its own file before those of others."""
    todo, done, names = [start], set(), set()
    while todo:
        at = todo.pop()
        if at in done:
            continue
        done.add(at)
        where, calls = known[at]
        names |= calls
        for name in calls:
            own = f"{where}:{name}"
            others = [] if name.startswith("_") else [k for k in known if k.endswith(f":{name}")]
            todo += [own] if own in known else others
    return names


def test_every_public_write_that_changes_something_comes_to_the_trail() -> None:
    known = functions()
    forgotten = []
    for at, (where, _calls) in known.items():
        name = at.rpartition(":")[2]
        if name.startswith("_") or name in WITHOUT or name in WORK or where.startswith(FACTS):
            continue
        names = reach(at, known=known)
        if names & {f".{change}" for change in CHANGES} and "audit_record" not in names:
            forgotten.append(at)
    assert forgotten == []


def test_what_needs_no_trail_is_still_there() -> None:
    names = {at.rpartition(":")[2] for at in functions()}
    assert WITHOUT.keys() | WORK <= names
