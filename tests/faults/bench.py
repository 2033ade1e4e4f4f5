# SPDX-License-Identifier: GPL-3.0-or-later
"""A bench that runs in a folder, and requests as its page makes them (for disk.sh and killed.sh)."""
import http.client
import json
import re
import subprocess

OLD = open("tests/faults/small.json", encoding="utf-8").read()


def changed(name, old=OLD):
    """The build under another name."""
    return old.replace("small fry", name)


class Bench:
    def __init__(self, program, folder, **how):
        self.process = subprocess.Popen([program, "bench", folder, "--no-open"], stdout=subprocess.PIPE,
                                        stderr=subprocess.DEVNULL, text=True, **how)
        address = self.process.stdout.readline().strip()
        found = re.fullmatch(r"http://(.*)/#(.*)", address)
        self.host, self.token = found.groups() if found else (None, None)

    def ask(self, route, **body):
        """Status and tree; (None, None) when the program was gone before it answered."""
        line = http.client.HTTPConnection(self.host, timeout=60)
        try:
            line.request("POST", "/api/" + route, json.dumps(body), {
                "Origin": "http://" + self.host, "X-Bench-Token": self.token, "Content-Type": "application/json"})
            reply = line.getresponse()
            return reply.status, json.loads(reply.read())
        except (http.client.HTTPException, OSError):
            return None, None
        finally:
            line.close()

    def look_of(self, text):
        """The text in the look that the program gives what it writes."""
        return self.ask("save", name="look.json", build=text, was=None)[1]["build"]

    def end(self):
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()
