using System.Text.RegularExpressions;
using CaliperStation.Core.Tests.Shape;

namespace CaliperStation.Tests.Devices;

/// <summary>Every row of TestData/troubles.csv with the test that shows what the station does; troubles-sources.md names where the rows come from.</summary>
public sealed partial class TroublesTests
{
    private static readonly Dictionary<string, string> _shown = new()
    {
        ["T01"] = "T01_every_nibble_that_is_not_legal_refuses_the_frame",
        ["T02"] = "T02_a_frame_turned_by_any_number_of_nibbles_is_refused",
        ["T03"] = "T03_T19_a_single_wrong_frame_is_never_steady_and_costs_its_neighbours_too",
        ["T04"] = "T04_T05_noise_and_text_without_an_end_say_what_may_be_wrong",
        ["T05"] = "T04_T05_a_24_bit_frame_of_wrong_length_or_with_its_zero_bits_set_is_refused",
        ["T07"] = "T07_all_20_magnitude_bits_and_the_sign_count",
        ["T10"] = "T10_the_unit_key_pressed_in_mid_sitting_stops_whatever_the_value",
        ["T15"] = "T15_an_instrument_with_more_than_six_digits_is_known_beforehand",
        ["T17"] = "Silence_is_told_once_with_what_to_look_at_and_a_late_answer_is_no_reading",
        ["T18"] = "T18_a_low_cell_is_told_once_and_again_after_it_was_good",
        ["T19"] = "T03_T19_a_single_wrong_frame_is_never_steady_and_costs_its_neighbours_too",
        ["T22"] = "T22_a_value_older_than_half_a_second_is_not_taken",
        ["T23"] = "T07_T23_a_negative_value_is_asked_about_where_nothing_can_overlap",
        ["T25"] = "T25_a_value_that_jumps_or_climbs_is_not_taken",
        ["T26"] = "Keys_faster_than_a_person_are_an_instruments",
        ["T27"] = "T27_T29_T31_an_error_line_is_the_instruments_own_error_and_no_value",
        ["T29"] = "T27_T29_T31_an_error_line_is_the_instruments_own_error_and_no_value",
        ["T31"] = "An_error_line_ends_the_waiting_and_a_lost_caliper_is_not_asked",
        ["T34"] = "T34_an_apostrophe_for_the_minus_and_a_comma_for_the_point_are_recognised",
        ["T36"] = "T36_T37_lost_doubled_and_damaged_keys_are_refused_with_the_reason",
        ["T37"] = "T36_T37_lost_doubled_and_damaged_keys_are_refused_with_the_reason",
        ["T39"] = "T39_the_same_value_for_another_step_is_asked_about_unless_the_caliper_moved",
        ["T41"] = "Pulling_the_plug_is_told_within_a_second_and_the_same_name_is_opened_again",
        ["T42"] = "A_node_that_vanishes_is_a_loss_though_the_line_keeps_silent",
        ["T43"] = "A_port_that_is_not_there_is_told_once_and_tried_ever_more_rarely_up_to_five_seconds",
        ["T46"] = "A_request_is_written_by_the_owner_and_never_to_a_lost_port",
        ["T49"] = "What_waited_before_opening_is_no_reading_nor_is_the_rest_of_it",
        ["T52"] = "T52_a_bridges_own_words_are_its_error_and_other_words_are_refused",
        ["T56"] = "A_port_that_cannot_be_opened_says_why",
        ["T58"] = "A_folder_and_a_file_are_no_serial_lines",
        ["T59"] = "Stable_names_come_first_and_each_says_what_it_is",
        ["T60"] = "Ghosts_are_shown_only_when_asked_for",
        ["T62"] = "T62_a_junk_byte_at_plug_in_costs_no_line_that_comes_later",
        ["T63"] = "T63_a_line_broken_by_250_ms_of_silence_is_dropped_and_its_rest_is_not_taken_for_a_line",
        ["T64"] = "T64_a_line_split_anywhere_decodes_the_same",
        ["T65"] = "A_port_without_modem_lines_says_so_once_and_goes_on",
        ["T67"] = "T67_blanks_are_legal_between_sign_and_first_digit_only",
    };

    /// <summary>Rows that no test shows, and why.</summary>
    private static readonly Dictionary<string, string> _notShown = new()
    {
        ["T11"] = "a matter of the bridge's circuit; firmware-notes/wiring.md states the load",
        ["T33"] = "keypad digits reach a terminal as plain digits or as cursor keys; the lock is the terminal's, and what was typed is shown before it is taken",
        ["T47"] = "the event is never used: the port is polled",
        ["T51"] = "a matter of the kernel and the bridge's circuit; firmware-notes/building.md says that DTR must not reset the board",
        ["T53"] = "a matter of the bridge's descriptor; the port is tried again by itself, which T43 shows",
        ["T54"] = "a matter of the bridge's descriptor and of one distribution",
        ["T61"] = "needs that system; the list leaves those names out there (PortList)",
        ["T66"] = "measured on a quiet port and settled by polling; a time that depends on the machine is no test",
    };

    [Fact]
    public void Every_row_has_its_test_or_the_reason_why_there_is_none()
    {
        string[] rows = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "troubles.csv")).Select(line => Row().Match(line)).Where(row => row.Success).Select(row => row.Value)];

        Assert.NotEmpty(rows);
        Assert.Equal(rows.Order(), _shown.Keys.Concat(_notShown.Keys).Order());
    }

    [Fact]
    public void Every_test_named_is_a_test_of_this_suite()
    {
        HashSet<string> here = [.. typeof(TroublesTests).Assembly.GetTypes()
            .SelectMany(type => type.GetMethods())
            .Where(method => method.GetCustomAttributes(typeof(FactAttribute), true).Length > 0)
            .Select(method => method.Name)];
        string core = string.Concat(SourceTree.CSharp("tests/CaliperStation.Core.Tests").Select(file => file.Text));

        Assert.All(_shown.Values.Distinct(), test => Assert.True(
            here.Contains(test) || core.Contains($"public void {test}(", StringComparison.Ordinal), test));
    }

    [GeneratedRegex("^T[0-9]{2}(?=,)")]
    private static partial Regex Row();
}
