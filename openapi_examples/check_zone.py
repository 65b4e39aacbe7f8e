"""Checks the zone of a file and says what a contractor needs to know: check_zone.py FILE [URL]"""

import json
import sys
from pathlib import Path

import httpx

file, url = [*sys.argv[1:], "http://127.0.0.1:8000"][:2]
reply = httpx.post(f"{url}/v1/zones/check", json=json.loads(Path(file).read_text("utf-8")), timeout=60)
answer = reply.json()

if reply.status_code != 200:  # a problem: every fault says where it is and what would do
    for fault in answer.get("errors", []):
        print(f"{fault['pointer']}: {fault['detail']} Accepted: {fault['accepted']}")
    sys.exit(answer["detail"])

worst = answer["critical_outlet"]
print(f"{answer['name']}: {answer['verdict']}")
print(f"least to spare: {worst['margin']:.1f} {answer['units']['pressure']} in {worst['run']}")
for finding in answer["findings"]:
    print(f"{finding['severity']}: {finding['message']}")
