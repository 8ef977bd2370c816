"""The desk's addresses: what each answers, and who may ask.  No network: Starlette's test client."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote
from xml.etree import ElementTree as ET

import pytest
from PIL import Image
from starlette.testclient import TestClient

from genhouse.desk.app import OPTIONS, desk
from genhouse.desk.bench import OwnBench
from genhouse.desk.guard import LARGEST
from genhouse.house import design
from genhouse.model.brief import STAGE_NAMES

BRIEF = {"plot": [19, 22], "gate": "south", "storeys": 1}
HOUSE = f"seed=7&brief={quote(json.dumps(BRIEF))}"
OWN = {"origin": "http://127.0.0.1"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("desk") / "houses"


@pytest.fixture(scope="module")
def client(folder: Path) -> Iterator[TestClient]:
    app, _ = desk([OwnBench()], str(folder))
    with TestClient(app, base_url="http://127.0.0.1") as found:
        yield found


def told(client: TestClient, path: str) -> Any:
    answer = client.get(path)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_the_page_comes_with_a_strict_policy_and_nothing_from_elsewhere(client: TestClient) -> None:
    page = client.get("/")
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in page.text.replace("http-equiv", "")
    assert " style=" not in page.text
    assert page.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("look", ["outside", "cut", "court"])
def test_a_picture_is_that_of_the_house(client: TestClient, look: str) -> None:
    answer = client.get(f"/picture?{HOUSE}&look={look}&size=small")
    assert answer.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(answer.content)).size == (260, 234)


def test_what_is_told_is_what_the_house_says_of_itself(client: TestClient) -> None:
    found, house = told(client, f"/about?{HOUSE}"), design(7, BRIEF)
    assert found["name"] == house.digest[:8]
    assert found["drawn"]["plot"] == [19, 22]
    assert len(found["rooms"]) == len(house.plan.rooms)


def test_a_plan_is_drawn_where_its_frame_says(client: TestClient) -> None:
    frame = told(client, f"/about?{HOUSE}")["plans"][0]
    drawing = ET.fromstring(client.get(f"/plan?{HOUSE}&level=1").text)
    assert drawing.get("viewBox") == f"0 0 {frame['wide']:g} {frame['high']:g}"
    assert frame["left"] + 19 * frame["cell"] < frame["wide"]


@pytest.mark.parametrize("what", ["light", "privacy", "rain", "walking"])
def test_what_lies_over_a_plan_lies_on_the_plot(client: TestClient, what: str) -> None:
    found = told(client, f"/over?{HOUSE}&what={what}&level=1")
    assert len(found["cells"]) > 50
    assert all(0 <= x < 19 and 0 <= y < 22 and 0 <= tone < 5 for x, y, tone, _ in found["cells"])
    assert {tone for _, _, tone, _ in found["cells"]} <= {tone for tone, _ in found["legend"]}


def test_a_lock_keeps_what_it_says(client: TestClient) -> None:
    found = told(client, f"/again?{HOUSE}&keep=roof&number=3")
    assert found["kept"] == list(STAGE_NAMES[:6])
    before = told(client, f"/about?{HOUSE}")["stages"]
    after = told(client, f"/about?{found['query']}")["stages"]
    assert next(s for s in before if before[s] != after[s]) in ("court", "fittings")
    assert before["roof"] == after["roof"]


def test_refusals_stand_beside_their_field_and_offer_what_works(client: TestClient) -> None:
    wish = {"plot": [17, 19], "storeys": 1, "rooms": [{"kind": "study", "count": 6}]}
    answer = client.get(f"/picture?seed=5&brief={quote(json.dumps(wish))}")
    assert answer.status_code == 422
    said = answer.json()
    assert "study" in said["sentence"]
    assert set(said["fields"]) == {"plot", "rooms.0.count"}
    assert said["offers"]
    for offer in said["offers"]:
        assert client.get(f"/picture?{offer['query']}&size=small").status_code == 200


@pytest.mark.parametrize(
    ("brief", "fields"),
    [
        ({"storeys": 1, "gallery": True}, {"storeys", "gallery"}),
        ({"palette": "ochre"}, {"palette"}),
        ({"rooms": [{"kind": "bath"}, {"kind": "attic"}]}, {"rooms.1", "rooms.1.count"}),
        ({"roof": {"form": "inward", "dormers": 2}}, {"roof.form", "roof.dormers"}),
    ],
)
def test_a_brief_that_contradicts_itself_is_told_how_and_offered_what_works(
    client: TestClient, brief: dict[str, Any], fields: set[str]
) -> None:
    for work in ("picture", "about"):
        answer = client.get(f"/{work}?seed=5&brief={quote(json.dumps(brief))}")
        assert answer.status_code == 422
        said = answer.json()
        assert set(said["fields"]) == fields
        assert said["offers"]
        for offer in said["offers"]:
            assert offer["text"].startswith("this without")
            assert client.get(f"/picture?{offer['query']}&size=small").status_code == 200


@pytest.mark.parametrize(
    ("brief", "field"),
    [
        ({"plot": [3, 3]}, "plot"),
        ({"roof": {"form": "dome"}}, "roof.form"),
        ({"rooms": [{"kind": "bath"}, {"kind": "study", "count": -1}]}, "rooms.1.count"),
        ({"light": 99}, "light"),
    ],
)
def test_bad_values_are_said_beside_their_field(
    client: TestClient, brief: dict[str, Any], field: str
) -> None:
    answer = client.get(f"/about?seed=7&brief={quote(json.dumps(brief))}")
    assert (answer.status_code, answer.json()["fields"]) == (422, [field])


def test_the_schema_names_what_a_tradition_has(client: TestClient) -> None:
    found = told(client, "/schema")
    assert found["schema"]["$defs"]["Wish"]["properties"]["kind"]["enum"]
    assert "timber" in found["schema"]["$defs"]["Brief"]["properties"]["tradition"]["enum"]
    assert client.get("/schema?tradition=straw").status_code == 422


def test_houses_are_compared(client: TestClient) -> None:
    other = f"seed=8&brief={quote(json.dumps(BRIEF))}"
    found = told(client, f"/compare?house={quote(HOUSE)}&house={quote(other)}")
    assert found["inside"][0][0] == 0
    assert found["inside"][0][1] == found["inside"][1][0] > 0
    assert len(found["figures"][0]["texts"]) == 2
    too_many = "&".join(f"house={quote(HOUSE)}" for _ in range(9))
    assert client.get(f"/compare?{too_many}").status_code == 400


def test_an_archive_holds_the_folder(client: TestClient) -> None:
    answer = client.get(f"/zip?{HOUSE}")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        names = archive.namelist()
        assert "house-7/guide.html" in names
        assert archive.testzip() is None
        arrays = archive.read("house-7/house.npz")
    one = client.get(f"/file?{HOUSE}&file=house.npz")
    assert one.content == arrays
    assert "attachment" in one.headers["content-disposition"]
    assert client.get(f"/file?{HOUSE}&file=../../etc/passwd").status_code == 404
    listed = {entry["name"] for entry in told(client, f"/files?{HOUSE}")}
    assert {f"house-7/{name}" for name in listed} == set(names)


def test_a_house_is_saved_only_into_the_folder(client: TestClient, folder: Path) -> None:
    words = {"seed": "7", "brief": json.dumps(BRIEF), "name": "../../Mill House"}
    answer = client.post("/save", data=words, headers=OWN)
    assert answer.json() == {"folder": "mill-house"}
    assert (folder / "mill-house" / "house.npz").exists()
    assert [p.name for p in folder.parent.iterdir()] == ["houses"]
    again = client.post("/save", data=words, headers=OWN)
    assert again.status_code == 422
    assert str(folder) not in again.text
    assert client.post("/save", data=words | {"name": "//"}, headers=OWN).status_code == 422
    (folder / "away").symlink_to(folder.parent / "elsewhere")
    assert client.post("/save", data=words | {"name": "away"}, headers=OWN).status_code == 422
    assert not (folder.parent / "elsewhere").exists()


def test_names_of_ones_own_are_applied_to_all_that_is_taken_or_refused(
    client: TestClient, folder: Path
) -> None:
    table = client.get(f"/names?{HOUSE}").text
    material = table.splitlines()[1].split(",")[0]
    own = f"material,form,name\n{material},*,my own\n"
    words = {"seed": "7", "brief": json.dumps(BRIEF), "names": own}
    answer = client.post("/zip", data=words, headers=OWN)
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        steps = archive.read("house-7/steps-own.csv")
        guide = archive.read("house-7/guide.html")
    assert b"my own" in steps
    one = client.post("/file", data=words | {"file": "guide.html"}, headers=OWN)
    assert one.content == guide
    assert b"my own" in guide
    listed = client.post("/files", data=words, headers=OWN).json()
    assert {entry["name"]: entry["bytes"] for entry in listed}["steps-own.csv"] == len(steps)
    saved = client.post("/save", data=words | {"name": "in my words"}, headers=OWN).json()["folder"]
    assert (folder / saved / "steps-own.csv").read_bytes() == steps
    words["names"] = "material,form,name\nmoonstone,*,x\n"
    assert client.post("/zip", data=words, headers=OWN).status_code == 422


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "", "10.0.0.9", "[::2]"]
)
def test_another_name_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 403


@pytest.mark.parametrize("host", ["localhost:81", "127.0.0.1:9999", "[::1]:80", "[::1]"])
def test_its_own_names_are_taken(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


def test_a_page_elsewhere_is_refused(client: TestClient) -> None:
    for headers in (
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"},
    ):
        assert client.get(f"/about?{HOUSE}", headers=headers).status_code == 403
    assert client.post("/zip", data={"seed": "7"}).status_code == 403
    assert client.post("/zip", data={}, headers={"origin": "http://x.example"}).status_code == 403
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert client.get("/", headers=link).status_code == 200


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH"])
def test_another_method_gets_a_sentence(client: TestClient, method: str) -> None:
    answer = client.request(method, f"/zip?{HOUSE}", headers=OWN)
    assert answer.status_code == 405
    assert answer.json()["sentence"]


def test_what_is_too_large_is_refused(client: TestClient) -> None:
    big = client.post("/zip", content=b"x" * (LARGEST + 1), headers=OWN)
    assert big.status_code == 413
    chunks = (b"x" * 65536 for _ in range(1 + LARGEST // 65536))
    assert client.post("/zip", content=chunks, headers=OWN).status_code == 413
    assert client.get("/about?x=" + "y" * 60_000).status_code == 414


@pytest.mark.parametrize("work", OPTIONS)
def test_nonsense_gets_a_sentence(client: TestClient, work: str) -> None:
    for words in ("seed=x", "brief=%00", "brief=%7B%22plot%22%3A1e9%7D", "seed=7&roof=-1"):
        answer = client.get(f"/{work}?{words}")
        assert 400 <= answer.status_code < 500
        assert answer.json()["sentence"]


@pytest.mark.parametrize("number", ["²", "9" * 5000, "٣", "-1", "1e9"])
@pytest.mark.parametrize(
    "path",
    ["/ask?level=1&y=1&x=", "/ask?x=1&y=1&level=", "/pick?look=cut&u=1&v=", "/moved?x=1&y=1&z=",
     "/over?what=rain&level=", "/plan?level=", "/again?keep=roof&number=", "/village?houses=2&size=",
     "/village?size=192&houses=", "/village?size=192&houses=1&moves=1:1:"],
)  # fmt: skip
def test_what_is_no_number_is_said(client: TestClient, path: str, number: str) -> None:
    if number == "-1" and "moves" in path:
        number = "-"
    answer = client.get(f"{path}{quote(number)}&{HOUSE}")
    assert answer.status_code in (400, 422)
    assert answer.json()["sentence"]


def test_a_long_table_of_names_is_read_to_its_first_fault(client: TestClient) -> None:
    words = {"seed": "7", "brief": json.dumps(BRIEF), "names": "material,form,name\n" * 9000}
    answer = client.post("/zip", data=words, headers=OWN)
    assert (answer.status_code, answer.json()["fields"]) == (422, ["names"])


@pytest.mark.parametrize(
    "path",
    [
        "/picture?look=attic", "/picture?size=huge", "/plan?level=9", "/over?what=smell",
        "/ask?x=a&y=b&level=1", "/pick?look=cut&u=-1&v=2", "/moved?x=1", "/nowhere", "/static/../app.py",
        "/static/desk.py", "/again?keep=attic", "/again?keep=roof&number=x",
    ],
)  # fmt: skip
def test_what_there_is_not_is_said(client: TestClient, path: str) -> None:
    joined = f"{path}&{HOUSE}" if "?" in path else path
    answer = client.get(joined)
    assert 400 <= answer.status_code < 500
    assert answer.json()["sentence"]
