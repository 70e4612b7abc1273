"""What may not stand in any file of the project."""

import subprocess

from source import ROOT

FORBIDDEN = (
    "py" + "pi.org", "files.python" + "hosted", "registry.npm" + "js", "/ro" + "ot/", "/wo" + "rk/", "/tm" + "p/"
)  # fmt: skip


def test_no_registry_and_no_machine_path_is_named():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    found = []
    for name in listed.splitlines():
        path = ROOT / name
        if path.suffix in (".png", ".ttf", ".pdf") or not path.is_file():
            continue
        text = path.read_text(encoding="utf-8")
        found += [(name, word) for word in FORBIDDEN if word in text]
    assert found == []
