"""This machine's own addresses in a local network, found without sending anything."""

from __future__ import annotations

import ipaddress
import socket
import sys
from collections.abc import Iterator

NETWORKS = tuple(
    map(ipaddress.ip_network, ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16"))
)
"""Addresses that no router of the internet passes on (RFC 1918, RFC 3927)."""

ELSEWHERE = ("192.0.2.1", 9)
"""An address that is nowhere (RFC 5737), to ask which way out this machine would take."""


def own_addresses() -> list[str]:
    """This machine's addresses in local networks, the one on its usual way out first."""
    found = dict.fromkeys([*_on_the_way_out(), *_of_interfaces()])
    return [address for address in found if is_local(address)]


def is_local(address: str) -> bool:
    """Whether an address belongs to a local network, and not to the internet or to itself.

    >>> is_local("192.168.1.20"), is_local("198.51.100.7"), is_local("127.0.0.1")
    (True, False, False)
    """
    return any(ipaddress.ip_address(address) in network for network in NETWORKS)


def _on_the_way_out() -> Iterator[str]:
    """The address that this machine would send from; connecting a UDP socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(ELSEWHERE)
            yield asked.getsockname()[0]
        except OSError:
            return


if sys.platform == "win32":

    def _of_interfaces() -> Iterator[str]:
        """The addresses that the machine knows under its own name, which asks no network."""
        try:
            yield from socket.gethostbyname_ex(socket.gethostname())[2]
        except OSError:
            return

else:

    def _of_interfaces() -> Iterator[str]:
        """The first address of each interface, as the system's kernel knows it."""
        import fcntl
        import struct

        # SIOCGIFADDR of Linux, and of BSD and macOS
        command = 0x8915 if sys.platform == "linux" else 0xC0206921
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            for _, name in socket.if_nameindex():
                wanted = struct.pack("256s", name.encode()[:15])
                try:
                    answer = fcntl.ioctl(asked.fileno(), command, wanted)
                except OSError:
                    continue  # an interface without an address
                yield socket.inet_ntoa(answer[20:24])
