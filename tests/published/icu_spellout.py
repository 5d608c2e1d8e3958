"""Write the table of English number words, 0 to 1000, as ICU's spell-out rules give them (needs PyICU)."""

from __future__ import annotations

from pathlib import Path

import icu

TABLE = Path(__file__).with_name("icu_spellout_en.tsv")


def table() -> str:
    """The table's text: a note of the versions, then a line `number<TAB>words` each."""
    speller = icu.RuleBasedNumberFormat(icu.URBNFRuleSetTag.SPELLOUT, icu.Locale("en_US"))
    head = (
        f"# Number words by the spell-out rules of ICU {icu.ICU_VERSION} (CLDR data, Unicode License), through PyICU.\n"
    )
    return head + "".join(f"{number}\t{speller.format(number)}\n" for number in range(1001))


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
