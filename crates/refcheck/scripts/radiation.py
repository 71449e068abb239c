"""Special functions of the piston and the power of several sources by integration, for tests/it/acoustics/scipy.rs.

The power is integrated over the sphere from the far-field pressures of the sources, not taken from the mutual
radiation resistance that the room under test uses.

Run:  python radiation.py     (numpy and scipy; writes ../cases/scipy/radiation.json)
"""
import json
import pathlib

import numpy as np
import scipy
from scipy import special

RHO, C = 1.2041, 343.21

x = [0.0, 1e-6, 0.01, 0.1, 0.5, 1.0, 1.8412, 2.0, 3.0, 3.8317059702, 5.0, 7.0155866698, 10.0, 15.0, 25.0, 50.0, 100.0]
bessel = [{"x": v, "j1": float(special.j1(v)), "h1": float(special.struve(1, v))} for v in x]

pistons = []
for radius in (5.64e-3, 11.14e-3, 20e-3):
    for hertz in (200.0, 1000.0, 4903.0, 10000.0, 20000.0):
        ka = 2 * np.pi * hertz / C * radius
        # The difference 1 - 2 J1(x)/x loses its digits when x is small; the hypergeometric form does not:
        # 2 J1(x)/x = 0F1(; 2; -x^2/4)
        resistance = 1 - special.hyp0f1(2, -(ka**2)) if ka > 0.3 else sum(
            -((-1) ** n) * ka ** (2 * n) / (special.factorial(n) * special.factorial(n + 1)) for n in range(1, 12)
        )
        off = ka * np.sin(np.radians(60.0))
        pistons.append({
            "radius": radius, "hertz": hertz,
            "resistance": float(resistance),
            "reactance": float(special.struve(1, 2 * ka) / ka),
            "directivity_60_degrees": float(2 * special.j1(off) / off),
        })


def power(sources, hertz):
    """Watts into free field: integral of |p|^2 / (rho c) over the sphere, Gauss-Legendre times trapezoid."""
    k = 2 * np.pi * hertz / C
    cosines, weights = np.polynomial.legendre.leggauss(200)
    turns = np.arange(400) * 2 * np.pi / 400
    ct, ph = np.meshgrid(cosines, turns, indexing="ij")
    st = np.sqrt(1 - ct**2)
    direction = np.stack([st * np.cos(ph), st * np.sin(ph), ct])
    total = 0
    for s in sources:
        path = np.tensordot(np.array(s["metres"]), direction, axes=1)
        total = total + (s["re"] + 1j * s["im"]) * np.exp(1j * k * path)
    pressure = 2 * np.pi * hertz * RHO / (4 * np.pi) * np.abs(total)
    return float(np.sum(weights[:, None] * pressure**2) * (2 * np.pi / 400) / (RHO * C))


arrays = []
for name, sources in {
    "two equal in phase, 30 mm": [((0, 0, 0), 1e-6), ((0.03, 0, 0), 1e-6)],
    "two equal in opposition, 30 mm": [((0, 0, 0), 1e-6), ((0.03, 0, 0), -1e-6)],
    "two unequal in opposition, 20 mm": [((0, 0, 0), 1e-6), ((0.02, 0, 0), -0.8e-6)],
    "three of different phase": [((0, 0, 0), 1e-6), ((0.025, 0.01, 0), 0.6e-6 + 0.5e-6j), ((-0.04, 0, 0.015), -0.3e-6j)],
}.items():
    listed = [{"metres": list(map(float, p)), "re": complex(u).real, "im": complex(u).imag} for p, u in sources]
    for hertz in (200.0, 1000.0, 4000.0, 9000.0):
        arrays.append({"name": name, "sources": listed, "hertz": hertz, "watts": power(listed, hertz)})

cases = {
    "made_by": f"numpy {np.__version__}, scipy {scipy.__version__}, scipy.special.j1, struve, hyp0f1",
    "air": {"density": RHO, "speed": C},
    "bessel": bessel,
    "pistons": pistons,
    "arrays": arrays,
}
target = pathlib.Path(__file__).parent.parent / "cases" / "scipy" / "radiation.json"
target.write_text(json.dumps(cases, indent=1) + "\n")
print(target.name, "written")
