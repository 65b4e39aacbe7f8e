"""Ask a running service whether it is well."""

import sys

import httpx

base = sys.argv[1] if len(sys.argv) > 1 else "http://127.0.0.1:8000"
print(httpx.get(f"{base}/healthz").raise_for_status().text)
