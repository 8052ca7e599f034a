#include "geometry/small_matrix.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace boardlore {
namespace {

// Lower triangle L with L * L^T = matrix, in place. False: not positive definite.
bool factorise(SmallMatrix& matrix) {
  const std::size_t n = matrix.rows;
  for (std::size_t j = 0; j < n; ++j) {
    double diagonal = matrix(j, j);
    for (std::size_t k = 0; k < j; ++k) diagonal -= matrix(j, k) * matrix(j, k);
    if (!(diagonal > 0) || !std::isfinite(diagonal)) return false;
    matrix(j, j) = std::sqrt(diagonal);
    for (std::size_t i = j + 1; i < n; ++i) {
      double sum = matrix(i, j);
      for (std::size_t k = 0; k < j; ++k) sum -= matrix(i, k) * matrix(j, k);
      matrix(i, j) = sum / matrix(j, j);
    }
  }
  return true;
}

void substitute(const SmallMatrix& lower, std::vector<double>& x) {
  const std::size_t n = lower.rows;
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < i; ++k) x[i] -= lower(i, k) * x[k];
    x[i] /= lower(i, i);
  }
  for (std::size_t i = n; i-- > 0;) {
    for (std::size_t k = i + 1; k < n; ++k) x[i] -= lower(k, i) * x[k];
    x[i] /= lower(i, i);
  }
}

}  // namespace

SingularValues singular_values(SmallMatrix matrix) {
  const std::size_t n = matrix.columns;
  SmallMatrix right(n, n);
  for (std::size_t i = 0; i < n; ++i) right(i, i) = 1;
  const auto turn = [](SmallMatrix& m, std::size_t p, std::size_t q, double c, double s) {
    for (std::size_t row = 0; row < m.rows; ++row) {
      const double a = m(row, p), b = m(row, q);
      m(row, p) = c * a - s * b;
      m(row, q) = s * a + c * b;
    }
  };
  // Six to ten sweeps are usual; the cap only guards against a set of numbers that never settles.
  for (int sweep = 0; sweep < 60; ++sweep) {
    bool turned = false;
    for (std::size_t p = 0; p + 1 < n; ++p)
      for (std::size_t q = p + 1; q < n; ++q) {
        double pp = 0, qq = 0, pq = 0;
        for (std::size_t row = 0; row < matrix.rows; ++row) {
          pp += matrix(row, p) * matrix(row, p);
          qq += matrix(row, q) * matrix(row, q);
          pq += matrix(row, p) * matrix(row, q);
        }
        if (std::fabs(pq) <= 1e-16 * std::sqrt(pp * qq) || pq == 0) continue;
        const double cot = (qq - pp) / (2 * pq);
        const double tan = (cot >= 0 ? 1.0 : -1.0) / (std::fabs(cot) + std::sqrt(1 + cot * cot));
        const double cosine = 1 / std::sqrt(1 + tan * tan);
        turn(matrix, p, q, cosine, cosine * tan);
        turn(right, p, q, cosine, cosine * tan);
        turned = true;
      }
    if (!turned) break;
  }
  std::vector<double> lengths(n, 0.0);
  for (std::size_t column = 0; column < n; ++column) {
    for (std::size_t row = 0; row < matrix.rows; ++row) lengths[column] += matrix(row, column) * matrix(row, column);
    lengths[column] = std::sqrt(lengths[column]);
  }
  const auto smallest = static_cast<std::size_t>(std::min_element(lengths.begin(), lengths.end()) - lengths.begin());
  SingularValues result{lengths, std::vector<double>(n)};
  for (std::size_t row = 0; row < n; ++row) result.smallest_vector[row] = right(row, smallest);
  std::sort(result.falling.rbegin(), result.falling.rend());
  return result;
}

std::optional<std::vector<double>> solve_symmetric(SmallMatrix matrix, std::vector<double> right_side) {
  if (!factorise(matrix)) return std::nullopt;
  substitute(matrix, right_side);
  return right_side;
}

std::optional<SmallMatrix> invert_symmetric(const SmallMatrix& matrix) {
  SmallMatrix lower = matrix;
  if (!factorise(lower)) return std::nullopt;
  SmallMatrix inverse(matrix.rows, matrix.rows);
  for (std::size_t column = 0; column < matrix.rows; ++column) {
    std::vector<double> unit(matrix.rows, 0.0);
    unit[column] = 1;
    substitute(lower, unit);
    for (std::size_t row = 0; row < matrix.rows; ++row) inverse(row, column) = unit[row];
  }
  return inverse;
}

}  // namespace boardlore
