"""What is the surveyor's own stays in the house."""

from cast import entry, entry_id, sounding

from garboard.notebook.body import Arrangement, Remark, Withdrawal
from garboard.notebook.sharing import shared


def test_remarks_arrangements_and_what_takes_them_back_stay_behind() -> None:
    heard = entry(1, sounding())
    own = [
        entry(2, Remark(text="nervous owner")),
        entry(3, Arrangement(what="insurance cover", words="to 15 m, in home waters")),
        entry(4, Withdrawal(), replaces=(2,)),
    ]
    taken_back = entry(5, Withdrawal(), replaces=(1,))

    assert [each.id for each in shared([heard, *own, taken_back])] == [entry_id(1), entry_id(5)]
