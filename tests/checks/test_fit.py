"""The robust fit: least squares against numpy's, uncertainties against chance, misreadings found."""

from __future__ import annotations

import numpy as np
import pytest

from layout.checks.fit import CRITICAL, Fit, FitModel, fitted, linear


def line(n: int, sigma: float = 0.5) -> tuple[np.ndarray, np.ndarray]:
    """A straight line's design at n places, and sigmas."""
    x = np.linspace(0.0, 10.0, n)
    return np.stack([np.ones(n), x], axis=1), np.full(n, sigma)


def test_a_line_through_two_points():
    fit = fitted(linear(np.array([[1.0, 0.0], [1.0, 4.0]]), np.array([3.0, 11.0]), np.ones(2)))
    assert fit.parameters == pytest.approx([3.0, 2.0])
    assert fit.residuals == pytest.approx([0.0, 0.0], abs=1e-12)
    assert fit.redundancy == pytest.approx([0.0, 0.0], abs=1e-12)
    assert fit.suspects == ()


def test_the_mean_of_four_has_half_the_uncertainty():
    fit = fitted(linear(np.ones((4, 1)), np.array([1.0, 2.0, 3.0, 2.0]), np.full(4, 2.0)))
    assert fit.parameters == pytest.approx([2.0])
    assert fit.deviations(np.array([[1.0]])) == pytest.approx([1.0])
    assert fit.redundancy == pytest.approx([0.75] * 4)


def test_it_is_weighted_least_squares_as_numpy_does_it():
    rng = np.random.default_rng(5)
    design, observed, sigma = rng.normal(size=(12, 4)), rng.normal(size=12), rng.uniform(0.5, 2.0, 12)
    fit = fitted(linear(design, observed, np.full(12, 1e3) * sigma))
    expected = np.linalg.lstsq(design / sigma[:, None], observed / sigma, rcond=None)[0]
    assert fit.parameters == pytest.approx(expected, rel=1e-9)
    weighted = design / (1e3 * sigma[:, None])
    assert fit.covariance == pytest.approx(np.linalg.inv(weighted.T @ weighted), rel=1e-9)


def test_the_stated_uncertainty_is_the_scatter_of_many_fits():
    rng = np.random.default_rng(11)
    design, sigma = line(8)
    truth = np.array([2.0, -1.0])
    found = [
        fitted(linear(design, design @ truth + rng.normal(0, sigma), sigma)).parameters for _ in range(2000)
    ]
    stated = np.sqrt(np.diag(fitted(linear(design, design @ truth, sigma)).covariance))
    assert np.std(found, axis=0) == pytest.approx(stated, rel=0.06)


def test_redundancies_add_up_to_what_is_over():
    design, sigma = line(9)
    assert sum(fitted(linear(design, design @ [1.0, 1.0], sigma)).redundancy) == pytest.approx(9 - 2)


def test_a_curved_model_is_solved():
    x = np.linspace(0.1, 2.0, 10)

    def predict(p: np.ndarray) -> np.ndarray:
        return np.asarray(p[0] * np.exp(p[1] * x))

    def derivative(p: np.ndarray) -> np.ndarray:
        e = np.exp(p[1] * x)
        return np.stack([e, p[0] * x * e], axis=1)

    truth = np.array([2.0, -0.7])
    fit = fitted(FitModel(predict(truth), np.full(10, 0.01), predict, derivative, np.array([1.0, 0.0])))
    assert fit.parameters == pytest.approx(truth, rel=1e-9)


@pytest.mark.parametrize("wrong", range(8))
@pytest.mark.parametrize("error", [-9.0, 5.0])
def test_one_misreading_is_found_and_set_aside(wrong: int, error: float):
    design, sigma = line(8)
    observed = design @ [2.0, 3.0]
    observed[wrong] += error
    fit = fitted(linear(design, observed, sigma))
    assert (fit.suspects, fit.wrong) == ((wrong,), 1)
    assert fit.parameters == pytest.approx([2.0, 3.0])
    assert fit.residuals[wrong] == pytest.approx(error)
    assert list(fit.used) == [i != wrong for i in range(8)]


def test_good_readings_raise_no_suspicion():
    rng = np.random.default_rng(3)
    design, sigma = line(10)
    flagged = sum(
        bool(fitted(linear(design, design @ [1.0, 1.0] + rng.normal(0, sigma), sigma)).suspects)
        for _ in range(1000)
    )
    # Ten tests at 0.1 % each: about ten in a thousand by chance.
    assert flagged <= 25


def test_two_misreadings_are_found_together():
    design, sigma = line(9)
    observed = design @ [0.0, 1.0]
    observed[[2, 7]] += 20.0, 15.0
    fit = fitted(linear(design, observed, sigma))
    assert (fit.suspects, fit.wrong) == ((2, 7), 2)
    assert fit.parameters == pytest.approx([0.0, 1.0], abs=1e-9)


def test_of_two_readings_of_one_thing_that_disagree_both_are_suspects():
    # The second parameter is read twice and by nothing else.
    design = np.array([[1.0, 0.0]] * 4 + [[0.0, 1.0]] * 2)
    fit = fitted(linear(design, np.array([5.0, 5.0, 5.0, 5.0, 7.0, 17.0]), np.full(6, 0.5)))
    assert (fit.suspects, fit.wrong) == ((4, 5), 1)
    assert fit.deviations(np.eye(2))[0] == pytest.approx(0.25)
    assert fit.deviations(np.eye(2))[1] == np.inf


def test_where_one_reading_is_over_all_that_disagree_are_suspects():
    design = np.array([[1.0, 0.0], [1.0, 1.0], [1.0, 2.0]])
    fit = fitted(linear(design, np.array([0.0, 30.0, 2.0]), np.full(3, 0.5)))
    assert (fit.suspects, fit.wrong) == ((0, 1, 2), 1)
    assert np.all(np.isinf(fit.deviations(np.eye(2))))


def test_a_reading_no_other_watches_is_never_suspected():
    design = np.array([[1.0, 0.0]] * 5 + [[0.0, 1.0]])
    observed = np.array([1.0, 1.0, 21.0, 1.0, 1.0, 99.0])
    fit = fitted(linear(design, observed, np.full(6, 0.5)))
    assert fit.suspects == (2,)
    assert fit.parameters == pytest.approx([1.0, 99.0])
    assert fit.standardised[5] == 0.0


def test_what_no_reading_reaches_stays_where_it_was_and_is_unknown():
    design = np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 0.0]])
    fit = fitted(linear(design, np.array([4.0, 4.0]), np.ones(2)))
    gradients = np.array([[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [0.0, 0.0, 1.0]])
    known, difference, third = fit.deviations(gradients)
    assert known == pytest.approx(1 / np.sqrt(2))
    assert (difference, third) == (np.inf, np.inf)
    assert fit.parameters[2] == 0.0


def test_no_readings_at_all_leave_everything_unknown():
    fit = fitted(linear(np.zeros((0, 2)), np.zeros(0), np.zeros(0)))
    assert np.all(np.isinf(fit.deviations(np.eye(2))))
    assert (fit.suspects, len(fit.residuals)) == ((), 0)


def test_the_standardised_residual_is_the_one_of_data_snooping():
    """Residual over sigma and root redundancy (Baarda 1968, from memory), here from its covariance."""
    rng = np.random.default_rng(8)
    design, sigma = rng.normal(size=(7, 3)), rng.uniform(0.3, 0.9, 7)
    observed = rng.normal(size=7)
    fit = fitted(linear(design, observed, sigma))
    weight = np.diag(1 / sigma**2)
    inverse = np.linalg.inv(design.T @ weight @ design)
    residual = observed - design @ inverse @ design.T @ weight @ observed
    spread = np.sqrt(np.diag(np.diag(sigma**2) - design @ inverse @ design.T))
    assert fit.standardised == pytest.approx(residual / spread, rel=1e-6)


def test_readings_that_scatter_too_far_widen_what_is_known():
    rng = np.random.default_rng(2)
    design, sigma = line(12)
    observed = design @ [1.0, 1.0] + rng.normal(0, 10 * sigma)
    fit: Fit = fitted(linear(design, observed, sigma))
    assert fit.suspects and fit.scatter > CRITICAL
    honest = fitted(linear(design[fit.used], design[fit.used] @ [1.0, 1.0], sigma[fit.used]))
    assert np.all(np.diag(fit.covariance) > 5 * np.diag(honest.covariance))


def test_readings_that_lead_to_where_the_model_has_no_derivative_have_no_fit():
    """A length read as nothing: its derivative there is 0 / 0, and the linear algebra raised an error."""

    def predict(p: np.ndarray) -> np.ndarray:
        return np.abs(p)

    def derivative(p: np.ndarray) -> np.ndarray:
        return np.array([[float(p[0] / np.abs(p[0]))]])

    model = FitModel(np.array([0.0]), np.array([0.5]), predict, derivative, np.array([3.0]))
    fit = fitted(model)
    assert not fit.found
    assert (fit.parameters.tolist(), fit.residuals.tolist()) == ([3.0], [-3.0])
    assert (fit.suspects, fit.wrong, fit.scatter) == ((), 0, 1.0)
    assert fit.deviations(np.array([[1.0]])) == np.inf


def test_a_model_without_a_value_at_its_start_has_no_fit():
    one = linear(np.ones((2, 1)), np.ones(2), np.ones(2))
    nowhere = FitModel(one.observed, one.sigma, lambda p: np.full(2, np.nan), one.derivative, one.start)
    assert not fitted(nowhere).found
    assert fitted(one).found
