"""Closed-box and leaking-box responses by scipy.signal.freqs, for tests/it/acoustics/scipy.rs.

Two kinds of case, both from transfer functions written out as polynomials in s, so that scipy shares no formula
with the room under test beyond the physics:
  normalised  G(s) = s^2 / (s^2 + s/Q + 1), frequencies in units of the resonance
  system      pressure per volt at 1 m in half space of a driver (Re, Le, Bl, Mms, Cms, Rms, Sd) on a box of volume V,
              tight or with one round hole (laminar resistance, mass with end corrections)

Run:  python closed_box.py     (numpy and scipy; writes ../cases/scipy/closed-box.json)
"""
import json
import pathlib

import numpy as np
import scipy
from scipy import signal

RHO, C, MU = 1.2041, 343.21, 1.81e-5


def normalised(q):
    ratios = np.geomspace(0.05, 20.0, 25)
    _, g = signal.freqs([1.0, 0.0, 0.0], [1.0, 1.0 / q, 1.0], worN=ratios)
    return {
        "q": q,
        "points": [{"ratio": r, "re": v.real, "im": v.imag} for r, v in zip(ratios.tolist(), g.tolist())],
    }


def system(name, driver, volume, hole=None):
    re, le, bl, m, cms, r, sd = (driver[k] for k in ("Re", "Le", "Bl", "Mms", "Cms", "Rms", "Sd"))
    cab = volume / (RHO * C**2)
    free = np.polyadd([m, r, 0.0], [1.0 / cms])           # s * own mechanical impedance
    coil = np.array([le, re])
    if hole is None:
        # s * Zm = s^2 M + s R + 1/C + Sd^2/Cab
        zm = np.polyadd(free, [sd**2 / cab])
        numerator = np.array([1.0])
        denominator = zm
        share = (np.array([1.0]), np.array([1.0]))
    else:
        a = hole["diameter"] / 2
        resistance = 8 * MU * hole["length"] / (np.pi * a**4)
        mass = RHO * (hole["length"] + (0.8216 + 0.6133) * a) / (np.pi * a**2)
        branch = np.array([mass, resistance])
        d = np.polyadd(cab * np.polymul([1.0, 0.0], branch), [1.0])   # s Cab (R + sM) + 1
        # s * Zm * d = free * d + s Sd^2 (R + sM)
        denominator = np.polyadd(np.polymul(free, d), sd**2 * np.polymul([1.0, 0.0], branch))
        numerator = d
        share = (cab * np.polymul([1.0, 0.0], branch), d)             # what the hole does not swallow
    # v/E = Bl s n / (coil * den + Bl^2 s n)    with s*Zm = den/n
    sn = np.polymul([1.0, 0.0], numerator)
    v_num = bl * sn
    v_den = np.polyadd(np.polymul(coil, denominator), bl**2 * sn)
    # p/E = s rho Sd v share / (2 pi r), r = 1 m
    b = RHO * sd / (2 * np.pi) * np.polymul(np.polymul([1.0, 0.0], v_num), share[0])
    a_ = np.polymul(v_den, share[1])
    f = np.geomspace(20.0, 20000.0, 31)
    _, p = signal.freqs(b, a_, worN=2 * np.pi * f)
    # far-field delay of 1 m
    p = p * np.exp(-1j * 2 * np.pi * f / C)
    return {
        "name": name,
        "driver": driver,
        "volume": volume,
        "hole": hole,
        "points": [{"hertz": x, "re": v.real, "im": v.imag} for x, v in zip(f.tolist(), p.tolist())],
    }


S1 = dict(Re=7.0, Le=0.29e-3, Bl=2.20, Mms=0.5e-3, Cms=680e-6, Rms=0.30, Sd=3.9e-4)
S3 = dict(Re=7.0, Le=0.40e-3, Bl=4.26, Mms=1.8e-3, Cms=600e-6, Rms=0.37, Sd=8.6e-4)
CUBE = dict(Re=7.0, Le=0.0, Bl=0.75, Mms=0.10e-3, Cms=0.45e-3, Rms=0.10, Sd=1.0e-4)

cases = {
    "made_by": f"numpy {np.__version__}, scipy {scipy.__version__}, scipy.signal.freqs",
    "air": {"density": RHO, "speed": C},
    "normalised": [normalised(q) for q in (0.5, 0.5774, 0.7071, 1.0, 1.358, 2.0, 3.0)],
    "systems": [
        system("S1 in 10 cm3", S1, 10e-6),
        system("S1 in 2 cm3", S1, 2e-6),
        system("S3 in 20 cm3", S3, 20e-6),
        system("default phone-type part in 1 cm3", CUBE, 1e-6),
        system("S1 in 10 cm3 with a 1 mm hole", S1, 10e-6, dict(diameter=1e-3, length=1.5e-3)),
        system("S1 in 10 cm3 with a 0.5 mm hole", S1, 10e-6, dict(diameter=0.5e-3, length=1.5e-3)),
        system("S1 in 20 cm3 with a 3 mm bore", S1, 20e-6, dict(diameter=3e-3, length=4e-3)),
    ],
}
target = pathlib.Path(__file__).parent.parent / "cases" / "scipy" / "closed-box.json"
target.write_text(json.dumps(cases, indent=1) + "\n")
print(target.name, "written")
