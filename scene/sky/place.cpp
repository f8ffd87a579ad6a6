#include "scene/sky/place.h"

#include <chrono>
#include <cmath>
#include <cstdlib>

#include <fmt/format.h>

namespace lampflight {
namespace {

using Days = std::chrono::sys_days;

/// The local clock at the nearest second.
struct Clock {
    std::chrono::year_month_day date;
    int second;  ///< of the day
};

Clock clock_of(const Moment& moment) {
    const auto local_s =
        static_cast<long long>(std::floor(moment.unix_s + 0.5)) + 60LL * moment.offset_min;
    const auto time = std::chrono::sys_seconds(std::chrono::seconds(local_s));
    const Days day = std::chrono::floor<std::chrono::days>(time);
    return {std::chrono::year_month_day(day), static_cast<int>((time - day).count())};
}

}  // namespace

double midnight_unix_s(int year, int month, int day) {
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    return 86400.0 * static_cast<double>(Days(date).time_since_epoch().count());
}

int year_of(const Moment& moment) {
    return static_cast<int>(clock_of(moment).date.year());
}

std::string clock_text(const Moment& moment) {
    const int second = clock_of(moment).second;
    return fmt::format("{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60);
}

std::string minute_text(const Moment& moment) {
    const double whole_min = std::floor(moment.unix_s / 60.0 + 0.5);
    return clock_text({60.0 * whole_min, moment.offset_min}).substr(0, 5);
}

std::string offset_text(int offset_min) {
    const int apart_min = std::abs(offset_min);
    return fmt::format("{}{:02}:{:02}", offset_min < 0 ? '-' : '+', apart_min / 60, apart_min % 60);
}

std::string date_time_text(const Moment& moment) {
    const auto date = clock_of(moment).date;
    return fmt::format("{:04}-{:02}-{:02}T{}{}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                       clock_text(moment), offset_text(moment.offset_min));
}

}  // namespace lampflight
