"""Currencies by their code of three letters, and how many decimals their amounts have."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_TWO = """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC CUP CVE CZK
DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD
KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP
PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH
USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG
"""
_NONE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"

CURRENCIES: Mapping[str, int] = MappingProxyType(
    {
        **dict.fromkeys(_TWO.split(), 2),
        **dict.fromkeys(_NONE.split(), 0),
        **dict.fromkeys(_THREE.split(), 3),
    }
)
"""Decimals of each currency in use. ISO 4217, list one, from memory; units of account and metals are left out."""
