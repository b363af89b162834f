#pragma once
// Symmetric positive systems of up to five unknowns, by Cholesky. Private to this room.
#include <array>
#include <cmath>
#include <cstddef>
#include <optional>

namespace engine {

template <std::size_t N> using SmallVector = std::array<double, N>;
template <std::size_t N> using SmallMatrix = std::array<std::array<double, N>, N>; ///< lower half is read

/// Lower factor L of m = L L^T over the first `n`; none when m is not positive there.
template <std::size_t N>
std::optional<SmallMatrix<N>> lower_factor(const SmallMatrix<N>& m, std::size_t n = N)
{
    SmallMatrix<N> l{};
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j = 0; j <= i; ++j) {
            double rest = m[i][j];
            for (std::size_t k = 0; k < j; ++k)
                rest -= l[i][k] * l[j][k];
            if (i != j)
                l[i][j] = rest / l[j][j];
            else if (rest > 1e-14 * m[i][i] && rest > 0)
                l[i][i] = std::sqrt(rest);
            else
                return std::nullopt;
        }
    return l;
}

/// x of L y = b.
template <std::size_t N>
SmallVector<N> solve_lower(const SmallMatrix<N>& l, SmallVector<N> b, std::size_t n = N)
{
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t k = 0; k < i; ++k)
            b[i] -= l[i][k] * b[k];
        b[i] /= l[i][i];
    }
    return b;
}

/// x of L^T x = b.
template <std::size_t N>
SmallVector<N> solve_upper(const SmallMatrix<N>& l, SmallVector<N> b, std::size_t n = N)
{
    for (std::size_t i = n; i-- > 0;) {
        for (std::size_t k = i + 1; k < n; ++k)
            b[i] -= l[k][i] * b[k];
        b[i] /= l[i][i];
    }
    return b;
}

} // namespace engine
