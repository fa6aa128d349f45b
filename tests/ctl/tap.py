"""The little that the tests of the command line share: TAP output, running, a scratch folder."""
import json
import os
import pathlib
import subprocess
import sys
import tempfile


class Tap:
    def __init__(self):
        self.count = self.failed = 0

    def check(self, name, ok, detail=""):
        self.count += 1
        print(f"{'ok' if ok else 'not ok'} {self.count} - {name}", flush=True)
        if not ok:
            self.failed += 1
            for line in str(detail).strip().splitlines()[:12]:
                print("# " + line)
        return ok

    def skip(self, name, why):
        self.count += 1
        print(f"ok {self.count} - {name} # SKIP {why}", flush=True)

    def done(self):
        print(f"1..{self.count}")
        sys.exit(1 if self.failed else 0)


class Ctl:
    """tundishctl in a scratch folder; the folder goes with the object."""

    def __init__(self, program):
        self.program = str(pathlib.Path(program).resolve())
        self.folder = tempfile.TemporaryDirectory(prefix="tundish-test-")
        self.path = pathlib.Path(self.folder.name)
        self.env = dict(os.environ, XDG_DATA_HOME=str(self.path / "data"), HOME=str(self.path))

    def run(self, *words, stdin=None, status=None):
        done = subprocess.run([self.program, *map(str, words)], input=stdin, capture_output=True, text=True,
                              env=self.env, cwd=self.path)
        if status is not None and done.returncode != status:
            raise AssertionError(f"{' '.join(map(str, words))}: status {done.returncode}, not {status}\n"
                                 f"{done.stdout[-2000:]}{done.stderr[-2000:]}")
        return done

    def json(self, *words):
        return json.loads(self.run(*words, status=0).stdout)
