"""A person can be shown and erased from the command line; what was read stays."""

from tests.cli.starting import rootcase

PROPERTY = """key,value
name,Invented green
latitude,47.4
longitude,8.5
elevation,400 m
time_zone,Europe/Zurich
currency,CHF
weather_station,None
system,metric
invented,yes
"""


def test_a_contact_is_shown_and_erased(tmp_path):
    sheet, book = tmp_path / "sheet", tmp_path / "book.sqlite"
    sheet.mkdir()
    (sheet / "property.csv").write_text(PROPERTY, encoding="utf-8")
    (sheet / "contacts.csv").write_text("role,name,phone,email\nowner,Invented Owner,555 0100,nobody@example.org\n",
                                        encoding="utf-8")
    assert rootcase("observe", "import", sheet, "--fieldbook", book).returncode == 0
    shown = rootcase("observe", "contacts", "--fieldbook", book).stdout
    assert "owner · Invented Owner · 555 0100 · nobody@example.org" in shown
    for street in ("1 Old Lane", "2 New Lane"):
        told = rootcase("observe", "contact", "role=client address", f"name={street}", "--fieldbook", book)
        assert told.stdout == "Kept, where it can be erased.\n"
    both = rootcase("observe", "contacts", "--fieldbook", book).stdout
    assert "client address · 2 New Lane" in both
    assert "1 Old Lane" not in both
    refused = rootcase("observe", "contact", "role=friend", "--fieldbook", book)
    assert refused.returncode == 3
    assert "owner, payer, site contact, client address" in refused.stderr
    address = next(line.split(" · ")[0] for line in both.splitlines() if "2 New Lane" in line)
    rootcase("observe", "erase-contact", address, "--fieldbook", book)
    wrong = rootcase("observe", "erase-contact", "nobody", "--fieldbook", book)
    assert wrong.returncode == 3
    assert wrong.stderr.splitlines()[-1] == ("rootcase: the property has no contact with this id (got nobody); "
                                             "look at its contacts (rootcase observe contacts)")
    erased = rootcase("observe", "erase-contact", shown.split(" · ")[0], "--fieldbook", book)
    assert erased.stdout == "Erased from the file. The readings stay.\n"
    assert rootcase("observe", "contacts", "--fieldbook", book).stdout.startswith("No contacts")
    assert b"Invented Owner" not in book.read_bytes()
    assert rootcase("observe", "list", "--fieldbook", book).returncode == 0
