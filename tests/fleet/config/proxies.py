"""Proxies that end TLS before a house, for tests: nginx with the shipped configuration, or one of Python's own."""

from __future__ import annotations

import http.client
import shutil
import ssl
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from tests.fleet.config.installation import ROOT, free_port

SHIPPED = ROOT / "fleet" / "config" / "deploy" / "greenband.nginx"


@dataclass(frozen=True)
class Certificate:
    """One for localhost, signed by itself."""

    chain: Path
    key: Path

    @classmethod
    def made(cls, folder: Path) -> Certificate:
        made = cls(folder / "fullchain.pem", folder / "privkey.pem")
        command = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"]
        names = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"]
        files = ["-keyout", str(made.key), "-out", str(made.chain)]
        subprocess.run([*command, *names, *files], check=True, capture_output=True)
        return made


@dataclass(frozen=True)
class Proxy:
    """Where it answers, with TLS and without."""

    secure: str
    plain: str


@contextmanager
def nginx(house_port: int, certificate: Certificate, folder: Path) -> Iterator[Proxy]:
    """The shipped configuration, at ports of its own."""
    program, secure, plain = shutil.which("nginx"), free_port(), free_port()
    assert program
    server = SHIPPED.read_text()
    for written, here in (
        ("listen 443 ssl", f"listen 127.0.0.1:{secure} ssl"),
        ("listen 80", f"listen 127.0.0.1:{plain}"),
        ("greenband.example", "localhost"),
        ("http://127.0.0.1:8000", f"http://127.0.0.1:{house_port}"),
        ("/etc/greenband/", f"{folder}/"),
    ):
        assert written in server
        server = server.replace(written, here)
    temporary = "".join(
        f"{name}_temp_path {folder}/{name};"
        for name in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    (folder / "nginx.conf").write_text(
        f"daemon off; pid {folder}/pid; error_log {folder}/error.log; events {{}}\n"
        f"http {{ access_log off; {temporary}\n{server}\n}}"
    )
    running = subprocess.Popen([program, "-p", str(folder), "-c", str(folder / "nginx.conf")])
    time.sleep(1)
    assert running.poll() is None, (folder / "error.log").read_text()
    yield Proxy(f"https://localhost:{secure}", f"http://localhost:{plain}")
    running.terminate()
    running.wait(timeout=20)


@contextmanager
def plain_python(house_port: int, certificate: Certificate, folder: Path) -> Iterator[Proxy]:
    """The same in few lines: it ends TLS, and says so to the house."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate.chain, certificate.key)
    servers = []
    for scheme in ("https", "http"):
        handler = type("Forwarding", (_Forwarding,), {"scheme": scheme, "house": house_port})
        server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        if scheme == "https":
            server.socket = context.wrap_socket(server.socket, server_side=True)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        servers.append(server)
    secure, plain = (server.server_address[1] for server in servers)
    yield Proxy(f"https://localhost:{secure}", f"http://localhost:{plain}")
    for server in servers:
        server.shutdown()
        server.server_close()


class _Forwarding(BaseHTTPRequestHandler):
    scheme: str
    house: int

    def do_GET(self) -> None:
        length = int(self.headers.get("Content-Length") or 0)
        house = http.client.HTTPConnection("127.0.0.1", self.house, timeout=30)
        told = {name: value for name, value in self.headers.items() if name != "Connection"}
        told |= {"X-Forwarded-Proto": self.scheme, "X-Forwarded-For": self.client_address[0]}
        house.request(self.command, self.path, self.rfile.read(length), told)
        answer = house.getresponse()
        content = answer.read()
        self.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in {"connection", "transfer-encoding", "content-length"}:
                self.send_header(name, value)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    do_POST = do_GET

    def log_message(self, format: str, *args: object) -> None:
        """Nothing."""
