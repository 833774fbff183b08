"""Starting a register, and claiming a writer code for a copy of one."""

from vault.actions.context import Vault
from vault.actions.reading import Reader
from vault.actions.writing import WRITER, Draft, record_of, refuse_twin, write
from vault.errors import BadInput, Clash
from vault.interfaces import Change, Clock
from vault.model.cards import Person, Policy, RegisterCard, WriterCard
from vault.model.ids import Handle, Ulid, parse_handle, parse_writer
from vault.model.words import Role
from vault.records.codec import encode, make
from vault.records.paths import path_of, writer_card
from vault.rules.permissions import Verb

FORMAT = 1
"""The form of the register that this program writes and reads."""


def first_records(
    clock: Clock, register_id: Ulid, name: str, handle: Handle, person: str, writer: str, host: str, demo: bool = False
) -> Change:
    """Return the first commit of a new register: its own card, its founder, its policy and its first writer code.

    Raises:
        BadInput: A name or code cannot be used.
    """
    at, by = clock.now(), parse_handle(handle)
    cards = (
        make(RegisterCard, by=by, at=at, format=FORMAT, id=register_id, name=name, demo=demo),
        make(Person, by=by, at=at, handle=by, name=person, roles=(Role.OWNER, Role.ENGINEER, Role.QUALITY)),
        make(Policy, by=by, at=at),
        make(WriterCard, by=by, at=at, code=parse_writer(writer), host=host),
    )
    return Change(f"New register {name}", by, at, cards={path_of(card): encode(card) for card in cards})


def claim_writer(vault: Vault, code: str, host: str) -> str:
    """Claim a writer code for this copy of the register and return it.

    Raises:
        Clash: Another copy has claimed it.
        BadInput: The code cannot be used.
    """
    wanted = parse_writer(code)

    def decide(reader: Reader, draft: Draft) -> str:
        refuse_twin(reader, writer_card(wanted), f"writer code {wanted}")
        draft.put(record_of(draft, WriterCard, code=wanted, host=host))
        return f"Writer code {wanted} claimed"

    write(vault, Verb.ORDER, decide)
    vault.store.set_local(WRITER, wanted)
    return wanted


def check_format(card: RegisterCard) -> None:
    """Refuse a register of a newer form. Raises BadInput."""
    if card.format > FORMAT:
        raise BadInput(
            f"register {card.name} has form {card.format}, this program knows {FORMAT}; install a newer partstead"
        )


def check_place(recorded: str | None, actual: str) -> None:
    """Refuse to write from a copied or moved folder: two copies must never allot the same ids.

    Raises:
        Clash: The register was made or claimed at another place.
    """
    if recorded is not None and recorded != actual:
        raise Clash(
            f"this register's writer code was claimed at {recorded}, and here is {actual}. If the folder was moved, "
            "run `partstead writer moved`; if it was copied, run `partstead writer claim CODE` with a code of its own"
        )
