// Least squares: a few factors fitted to many values.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

#include <glm/glm.hpp>

namespace lampflight {

/// The factors for which rows times factors come nearest to values, by Cholesky's decomposition of
/// the normal equations, made once for all values that stand at the same rows. Rows are to hold
/// numbers of about one. What they do not tell apart gets small factors.
template <std::size_t terms, std::size_t count>
class LeastSquares {
public:
    using Row = std::array<float, terms>;

    /// Refers to the rows.
    explicit LeastSquares(const std::array<Row, count>& rows) : rows_(rows) {
        for (const Row& row : rows)
            for (std::size_t a = 0; a < terms; ++a)
                for (std::size_t b = 0; b <= a; ++b)
                    square_[a][b] += static_cast<double>(row[a]) * static_cast<double>(row[b]);
        for (std::size_t a = 0; a < terms; ++a) square_[a][a] += 1e-6 * count;
        for (std::size_t a = 0; a < terms; ++a)
            for (std::size_t b = 0; b <= a; ++b) {
                double left = square_[a][b];
                for (std::size_t k = 0; k < b; ++k) left -= square_[a][k] * square_[b][k];
                square_[a][b] = a == b ? std::sqrt(left) : left / square_[b][b];
            }
    }

    /// `value(i)` is the vector at the i-th row.
    template <class Value>
    std::array<glm::vec3, terms> factors(Value value) const {
        std::array<glm::dvec3, terms> right{};
        for (std::size_t i = 0; i < count; ++i)
            for (std::size_t a = 0; a < terms; ++a)
                right[a] += static_cast<double>(rows_[i][a]) * glm::dvec3(value(i));
        for (std::size_t a = 0; a < terms; ++a) {
            for (std::size_t k = 0; k < a; ++k) right[a] -= square_[a][k] * right[k];
            right[a] /= square_[a][a];
        }
        std::array<glm::vec3, terms> factor;
        for (std::size_t a = terms; a-- > 0;) {
            for (std::size_t k = a + 1; k < terms; ++k) right[a] -= square_[k][a] * right[k];
            right[a] /= square_[a][a];
            factor[a] = glm::vec3(right[a]);
        }
        return factor;
    }

private:
    const std::array<Row, count>& rows_;
    std::array<std::array<double, terms>, terms> square_{};
};

}  // namespace lampflight
