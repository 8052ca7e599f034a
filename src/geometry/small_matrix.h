// The little linear algebra that a fit of eight or nine numbers needs.
//
// Systems here have at most nine unknowns and a few hundred rows. Singular values come from one-sided
// Jacobi rotations (Hestenes 1958; Golub & Van Loan, Matrix Computations, section 8.6 "Jacobi methods",
// from memory): columns are turned against each other until they are orthogonal. It works on the matrix
// itself, not on its square, so that a nearly degenerate set of points is seen as such.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace boardlore {

struct SmallMatrix {
  SmallMatrix(std::size_t row_count, std::size_t column_count)
      : rows(row_count), columns(column_count), data(row_count * column_count, 0.0) {}
  double& operator()(std::size_t row, std::size_t column) { return data[row * columns + column]; }
  double operator()(std::size_t row, std::size_t column) const { return data[row * columns + column]; }

  std::size_t rows, columns;
  std::vector<double> data;  // row major
};

struct SingularValues {
  std::vector<double> falling;          // one a column, largest first
  std::vector<double> smallest_vector;  // the right singular vector of the last, of length 1
};

SingularValues singular_values(SmallMatrix matrix);

// Solves symmetric positive definite systems by Cholesky's factorisation. nullopt: not positive definite.
std::optional<std::vector<double>> solve_symmetric(SmallMatrix matrix, std::vector<double> right_side);
std::optional<SmallMatrix> invert_symmetric(const SmallMatrix& matrix);

}  // namespace boardlore
