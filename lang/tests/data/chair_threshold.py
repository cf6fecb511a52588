"""Reference for `learn::chair`: where a practice draws the line between "slides" and "binds".

Makes `chair.csv` (an invented practice of 40 visits) and prints the logistic regression of
statsmodels (Logit, no prior), and the maximum of the same likelihood under the prior, by
scipy.optimize.minimize with the Hessian by numerical differences (statsmodels' approx_hess).

    pip install scipy statsmodels && python chair_threshold.py
"""
import csv, math, random
import numpy as np
import scipy, statsmodels
from scipy.optimize import minimize
from statsmodels.discrete.discrete_model import Logit
from statsmodels.tools.numdiff import approx_hess3
import statsmodels.api as sm

MIDDLE = math.sqrt(30 * 100)
SLOPE = 2 * math.log(9) / math.log(100 / 30)

def prior(p):
    m, k = p
    return -0.5 * (m / 1.0) ** 2 - 0.5 * ((k - math.log(SLOPE)) / 0.5) ** 2

def likelihood(p, x, y):
    m, k = p
    eta = math.exp(k) * (x - m)
    return float(np.sum(y * eta - np.logaddexp(0, eta)))

def top(x, y, with_prior):
    f = lambda p: -(likelihood(p, x, y) + (prior(p) if with_prior else 0.0))
    best = minimize(f, [0.0, math.log(SLOPE)], method="BFGS", options={"gtol": 1e-9})
    best = minimize(f, best.x, method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 20000})
    cov = np.linalg.inv(approx_hess3(best.x, f))
    return best.x, np.sqrt(np.diag(cov))

random.seed(7)
rows = []
for i in range(40):
    grams = math.exp(random.uniform(math.log(5), math.log(300)))
    bound = random.random() < 1 / (1 + math.exp(-3.0 * math.log(grams / 45)))
    rows.append((f"SM-{i // 2:04}", round(grams, 2), int(bound)))
with open("chair.csv", "w", newline="") as f:
    w = csv.writer(f, lineterminator="\n")
    w.writerow(["case", "predicted_g", "bound"])
    w.writerows(rows)
x = np.array([math.log(r[1] / MIDDLE) for r in rows])
y = np.array([r[2] for r in rows])
print("scipy", scipy.__version__, "statsmodels", statsmodels.__version__)
fit = Logit(y, sm.add_constant(x)).fit(disp=0, tol=1e-12)
a, b = fit.params
print("Logit: m %.8f ln b %.8f llf %.8f" % (-a / b, math.log(b), fit.llf))
for with_prior in (False, True):
    p, se = top(x, y, with_prior)
    print("prior" if with_prior else "plain", "m %.8f k %.8f se %.8f %.8f g %.6f" % (*p, *se, MIDDLE * math.exp(p[0])))
few_x = np.log(np.array([20, 40, 60, 120]) / MIDDLE); few_y = np.array([0, 0, 1, 1])
p, se = top(few_x, few_y, True)
print("four, with prior: m %.8f k %.8f se %.8f %.8f" % (*p, *se))
