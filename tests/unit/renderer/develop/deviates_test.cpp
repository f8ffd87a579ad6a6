#include "renderer/develop/deviates.h"

#include "tests/within.h"

using namespace lampflight;

namespace {

float poisson_quantile(float mean, float share) {
    std::array<float, 1> count;
    poisson_quantiles<1>({mean}, {share}, count);
    return count[0];
}

double quantile(double share) {
    return static_cast<double>(normal_quantile(static_cast<float>(share)));
}

}  // namespace

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1, cumulative normal distribution, and
// its critical values (1.3.6.7.2, last row).
TEST_CASE("quantiles of the normal distribution") {
    CHECK_WITHIN(quantile(0.5), 0.0, 1e-6);
    CHECK_WITHIN(quantile(0.90), 1.282, 5e-4);
    CHECK_WITHIN(quantile(0.95), 1.645, 5e-4);
    CHECK_WITHIN(quantile(0.975), 1.960, 5e-4);
    CHECK_WITHIN(quantile(0.99), 2.326, 5e-4);
    CHECK_WITHIN(quantile(0.999), 3.090, 5e-4);
    CHECK_WITHIN(quantile(0.84134), 1.0, 1e-4);
    for (double share = 1e-6; share < 1.0; share += 1e-4) {
        const double back = 0.5 * std::erfc(-quantile(share) / std::sqrt(2.0));
        CHECK_WITHIN(back, share, 2e-6);
    }
}

// The distribution's own sums, by std::exp in double precision.
TEST_CASE("quantiles of the Poisson distribution are where its sums step") {
    for (const double mean : {0.01, 0.5, 2.0, 5.9}) {
        double term = std::exp(-mean);
        double reached = 0.0;
        for (int k = 0; reached + term < 0.999; ++k) {
            const double below = reached + 1e-2 * term;
            reached += term;
            const double above = reached - 1e-2 * term;
            for (const double share : {below, above})
                CHECK(poisson_quantile(static_cast<float>(mean), static_cast<float>(share)) ==
                      static_cast<float>(k));
            term *= mean / (k + 1);
        }
    }
    CHECK(poisson_quantile(0.0f, 0.999f) == 0.0f);
}

TEST_CASE("counts drawn from the normal agree with the distribution's sums where both are used") {
    constexpr float mean = 6.0f;
    int apart = 0;
    for (int i = 0; i < 20000; ++i) {
        const float share = (static_cast<float>(i) + 0.5f) / 20000.0f;
        if (poisson_from_normal(mean, normal_quantile(share)) != poisson_quantile(mean, share))
            ++apart;
    }
    CHECK(apart < 120);  // of 20000, each by one count
}

TEST_CASE("hashed shares fill the open interval evenly") {
    constexpr int count = 1 << 20;
    double sum = 0.0;
    double squares = 0.0;
    for (std::uint32_t i = 0; i < count; ++i) {
        const auto share = static_cast<double>(hashed_share(i, 7));
        if (!(share > 0.0 && share < 1.0)) FAIL("share ", share);
        sum += share;
        squares += share * share;
    }
    CHECK_WITHIN(sum / count, 0.5, 1.2e-3);  // four standard errors
    CHECK_WITHIN(squares / count, 1.0 / 3.0, 1.2e-3);
    CHECK(std::isfinite(normal_quantile(0.5f * 0x1p-23f)));
    CHECK(std::isfinite(normal_quantile(1.0f - 0x1p-24f)));
}
