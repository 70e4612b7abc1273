"""A certificate authority of the firm's own, kept in a folder beside the store, and the server's certificate from it.

The authority limits itself to this machine's names and to addresses of private networks.
"""

from __future__ import annotations

import datetime
import ipaddress
import os
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_DAYS_COUNT, SERVER_DAYS_COUNT, RENEW_DAYS_COUNT = 3650, 397, 30
# RFC 1918, RFC 4193, and loopback and link-local of both kinds (RFC 1122, 3927, 4291)
PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "169.254.0.0/16", "fc00::/7", "fe80::/10",
           "::1/128")  # fmt: skip
DAY = datetime.timedelta(days=1)


class CannotCertify(Exception):
    """The certificates cannot be made or used; as text it says why and what to do."""


@dataclass(frozen=True, slots=True)
class Certified:
    """The files that a server needs, and what a phone is told about the authority."""

    server_certificate: Path
    server_key: Path
    authority: x509.Certificate

    @property
    def fingerprint(self) -> str:
        """The SHA-256 fingerprint of the authority, as phones print it."""
        return self.authority.fingerprint(hashes.SHA256()).hex(":").upper()


@dataclass(frozen=True, slots=True)
class Authority:
    """What a page says of the authority; `certificate` is DER."""

    name: str
    certificate: bytes
    fingerprint: str
    permitted: tuple[str, ...]
    steps_address: str
    jobs_address: str

    @classmethod
    def of(cls, certified: Certified, steps_address: str, jobs_address: str) -> Authority:
        """The authority of some certificates, and where its steps and the jobs are."""
        held = certified.authority
        common = held.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value
        limits = held.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
        return cls(str(common), held.public_bytes(serialization.Encoding.DER), certified.fingerprint,
                   tuple(str(each.value) for each in limits), steps_address, jobs_address)  # fmt: skip

    @property
    def picture(self) -> str:
        """The QR code of the steps' address, as an address of its own."""
        import segno

        return str(segno.make(self.steps_address, error="m").svg_data_uri(scale=6, border=4, light="white"))


def certified(folder: Path, names: tuple[str, ...], now: datetime.datetime | None = None) -> Certified:
    """The certificates for a machine of these names and addresses, made where there are none. Raises CannotCertify."""
    now = now or datetime.datetime.now(datetime.UTC)
    folder.mkdir(mode=0o700, exist_ok=True)
    files = {name: folder / f"{name}.crt" for name in ("authority", "server")}
    keys = {name: folder / f"{name}.key" for name in files}
    if not files["authority"].exists() and not keys["authority"].exists():
        _make_authority(files["authority"], keys["authority"], names, now)
    authority, key = _read(files["authority"], keys["authority"])
    if authority.not_valid_after_utc <= now:
        raise CannotCertify(f"the certificate authority in {folder} has run out; move the folder away, begin again, "
                            "and let the phones trust the new one")  # fmt: skip
    _permitted(authority, names, folder)
    if not _serves(files["server"], keys["server"], authority, names, now):
        _make_server(files["server"], keys["server"], authority, key, names, now)
    return Certified(files["server"], keys["server"], authority)


def _make_authority(file: Path, key_file: Path, names: tuple[str, ...], now: datetime.datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    machine = next((each for each in names if _address(each) is None and each != "localhost"), "this machine")
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Ampwright on {machine}"[:64])])
    private = [x509.IPAddress(ipaddress.ip_network(each)) for each in PRIVATE]
    dns = [x509.DNSName(each) for each in dict.fromkeys((*(each for each in names if _address(each) is None), "local"))]
    public = [x509.IPAddress(ipaddress.ip_network(found)) for each in names
              if (found := _address(each)) is not None and not _is_private(found)]  # fmt: skip
    usage = x509.KeyUsage(key_cert_sign=True, crl_sign=True, digital_signature=False, content_commitment=False,
                          key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False,
                          decipher_only=False)  # fmt: skip
    made = (
        _begun(name, name, key, now, AUTHORITY_DAYS_COUNT)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints([*dns, *private, *public], None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _keep(key_file, _key_bytes(key), 0o600)
    _keep(file, made.public_bytes(serialization.Encoding.PEM), 0o644)


def _make_server(file: Path, key_file: Path, authority: x509.Certificate, signer: ec.EllipticCurvePrivateKey,
                 names: tuple[str, ...], now: datetime.datetime) -> None:  # fmt: skip
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Ampwright")])
    usage = x509.KeyUsage(digital_signature=True, key_cert_sign=False, crl_sign=False, content_commitment=False,
                          key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False,
                          decipher_only=False)  # fmt: skip
    made = (
        _begun(name, authority.subject, key, now, SERVER_DAYS_COUNT)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_general(each) for each in names]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _keep(key_file, _key_bytes(key), 0o600)
    _keep(file, made.public_bytes(serialization.Encoding.PEM), 0o644)


def _begun(name: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime.datetime,
           days_count: int) -> x509.CertificateBuilder:  # fmt: skip
    return (x509.CertificateBuilder().subject_name(name).issuer_name(issuer).public_key(key.public_key())
            .serial_number(x509.random_serial_number()).not_valid_before(now - DAY)
            .not_valid_after(now + days_count * DAY))  # fmt: skip


def _serves(file: Path, key_file: Path, authority: x509.Certificate, names: tuple[str, ...],
            now: datetime.datetime) -> bool:  # fmt: skip
    """Whether the server has a certificate from this authority for just these names that does not run out soon."""
    if not file.exists() or not key_file.exists():
        return False
    held, _ = _read(file, key_file)
    issued = held.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value.key_identifier
    own = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value.digest
    kept = set(held.extensions.get_extension_for_class(x509.SubjectAlternativeName).value)
    return (issued == own and kept == {_general(each) for each in names}
            and now + RENEW_DAYS_COUNT * DAY < held.not_valid_after_utc)  # fmt: skip


def _read(file: Path, key_file: Path) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    try:
        if key_file.stat().st_mode & 0o077:
            raise CannotCertify(f"others on this machine may read {key_file}; make it yours alone (chmod 600)")
        held = x509.load_pem_x509_certificate(file.read_bytes())
        key = serialization.load_pem_private_key(key_file.read_bytes(), None)
    except FileNotFoundError as wrong:
        raise CannotCertify(f"{wrong.filename} is missing beside {file.name}; move the folder {file.parent} away and "
                            "begin again, and let the phones trust the new authority") from wrong  # fmt: skip
    except ValueError as wrong:
        raise CannotCertify(f"{file} or {key_file} cannot be read as a certificate and its key") from wrong
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != held.public_key():
        raise CannotCertify(f"{key_file} is not the key of {file}")
    return held, key


def _permitted(authority: x509.Certificate, names: tuple[str, ...], folder: Path) -> None:
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    domains = [each.value for each in limits if isinstance(each, x509.DNSName)]
    networks = [each.value for each in limits if isinstance(each, x509.IPAddress)]
    outside = []
    for each in names:
        found = _address(each)
        if found is None:
            ours = any(each == domain or each.endswith(f".{domain}") for domain in domains)
        else:
            ours = any(found in network for network in networks if not isinstance(network, _ADDRESSES))
        if not ours:
            outside.append(each)
    if outside:
        raise CannotCertify(f"the authority in {folder} was made without {', '.join(outside)}; move the folder away, "
                            "begin again with all names, and let the phones trust the new one")  # fmt: skip


_ADDRESSES = (ipaddress.IPv4Address, ipaddress.IPv6Address)


def _address(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def _is_private(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    return any(address in ipaddress.ip_network(each) for each in PRIVATE)


def _general(name: str) -> x509.GeneralName:
    found = _address(name)
    return x509.DNSName(name) if found is None else x509.IPAddress(found)


def _key_bytes(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8,
                             serialization.NoEncryption())  # fmt: skip


def _keep(file: Path, content: bytes, mode: int) -> None:
    """Write a file that has its mode from the first byte on, and is there whole or not at all."""
    half = file.with_name(f"{file.name}.new")
    half.unlink(missing_ok=True)
    with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as out:
        out.write(content)
    os.chmod(half, mode)
    half.replace(file)
