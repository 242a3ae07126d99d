using System.Text.RegularExpressions;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Tests.Shape;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

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
        ["T11"] = "T11_the_load_on_a_calipers_port_is_stated_and_what_wanders_is_not_taken",
        ["T15"] = "A_value_without_its_first_digit_or_beyond_the_coat_is_asked_about",
        ["T17"] = "Silence_an_error_and_a_loss_after_a_request_are_told_apart_and_typing_goes_on",
        ["T18"] = "T18_a_low_cell_is_told_once_and_again_after_it_was_good",
        ["T19"] = "T03_T19_a_single_wrong_frame_is_never_steady_and_costs_its_neighbours_too",
        ["T22"] = "T22_a_value_older_than_half_a_second_is_not_taken",
        ["T23"] = "T07_T23_a_negative_value_is_asked_about_where_nothing_can_overlap",
        ["T25"] = "T25_a_value_that_jumps_or_climbs_is_not_taken",
        ["T26"] = "Keys_faster_than_a_person_are_an_instruments",
        ["T27"] = "T27_T29_T31_an_error_line_is_the_instruments_own_error_and_no_value",
        ["T29"] = "T27_T29_T31_an_error_line_is_the_instruments_own_error_and_no_value",
        ["T31"] = "Silence_an_error_and_a_loss_after_a_request_are_told_apart_and_typing_goes_on",
        ["T33"] = "T33_a_number_pad_with_its_lock_off_is_told_and_takes_nothing",
        ["T34"] = "T34_an_apostrophe_for_the_minus_and_a_comma_for_the_point_are_recognised",
        ["T36"] = "T36_T37_lost_doubled_and_damaged_keys_are_refused_with_the_reason",
        ["T37"] = "T36_T37_lost_doubled_and_damaged_keys_are_refused_with_the_reason",
        ["T39"] = "T39_the_same_value_for_another_step_is_asked_about_unless_the_caliper_moved",
        ["T41"] = "Pulling_the_plug_is_told_within_a_second_and_the_same_name_is_opened_again",
        ["T42"] = "A_node_that_vanishes_or_is_another_is_a_loss_within_a_quarter_of_a_second_though_the_line_keeps_silent",
        ["T43"] = "After_a_replug_it_is_back_within_a_second_and_a_half_of_its_node",
        ["T46"] = "A_request_is_written_by_the_owner_and_never_to_a_lost_port_nor_to_the_next_one",
        ["T47"] = "T47_T66_the_ways_of_reading_that_fail_are_used_nowhere",
        ["T49"] = "What_waited_before_opening_is_no_reading_nor_is_the_rest_of_it",
        ["T51"] = "T51_no_modem_line_is_touched_unless_asked_and_the_notes_say_what_the_board_must_do",
        ["T52"] = "T52_a_bridges_own_words_are_its_error_and_other_words_are_refused",
        ["T53"] = "T53_a_busy_port_is_told_at_once_with_the_modem_search_and_opened_when_it_is_free",
        ["T54"] = "T54_the_notes_ask_for_a_descriptor_and_rely_on_no_rule",
        ["T56"] = "A_port_that_cannot_be_opened_says_why",
        ["T58"] = "A_folder_and_a_file_are_no_serial_lines",
        ["T59"] = "Stable_names_come_first_and_each_says_what_it_is",
        ["T60"] = "Ghosts_are_shown_only_when_asked_for",
        ["T61"] = "T61_the_twin_that_waits_for_a_carrier_is_not_offered",
        ["T62"] = "T62_a_junk_byte_at_plug_in_costs_no_line_that_comes_later",
        ["T63"] = "T63_a_line_broken_by_250_ms_of_silence_is_dropped_and_its_rest_is_not_taken_for_a_line",
        ["T64"] = "T64_a_line_split_anywhere_decodes_the_same",
        ["T65"] = "A_port_without_modem_lines_says_so_once_and_goes_on",
        ["T66"] = "T47_T66_the_ways_of_reading_that_fail_are_used_nowhere",
        ["T67"] = "T67_blanks_are_legal_between_sign_and_first_digit_only",
    };

    [Fact]
    public void Every_row_has_its_test()
    {
        string[] rows = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "troubles.csv")).Select(line => Row().Match(line)).Where(row => row.Success).Select(row => row.Value)];

        Assert.NotEmpty(rows);
        Assert.Equal(rows.Order(), _shown.Keys.Order());
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

    /// <summary>Nothing in software sees a current; a caliper whose cell is drawn down wanders, and what wanders is refused.</summary>
    [Fact]
    public void T11_the_load_on_a_calipers_port_is_stated_and_what_wanders_is_not_taken()
    {
        Assert.Contains("under 0.3 mA in all", SourceTree.Read("firmware-notes/wiring.md"), StringComparison.Ordinal);
        FakeTimeProvider time = new();
        LiveCaliper live = new LiveCaliper { Name = "bridge", Source = ReadingSource.Serial }.Saw(new CaliperEvent.Opened(), TimeSpan.Zero).After;
        for (int value = 0; value < 20; value++)
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            live = live.Saw(new CaliperEvent.Value(new Reading(Length.FromMicrometres(3_170 + (value % 4 * 110)), LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Serial, default, "") { Arrived = time.GetElapsedTime(0) }), time.GetElapsedTime(0)).After;
        }

        Assert.Null(live.Steady(time.GetElapsedTime(0)));
        Assert.True(live.IsMoving(time.GetElapsedTime(0)));
    }

    /// <summary>Events, line reading, reads with a time-out or pending, and cancelled ones: see docs/decisions/0006.</summary>
    [Fact]
    public void T47_T66_the_ways_of_reading_that_fail_are_used_nowhere()
    {
        string[] bad = ["DataReceived", "PinChanged", "ErrorReceived", "ReadTimeout", ".ReadExisting(", ".ReadTo(", "BaseStream.Read", "DiscardInBuffer", "CtsHolding +="];
        foreach (SourceFile file in SourceTree.CSharp("src/CaliperStation").Where(file => file.Text.Contains("System.IO.Ports", StringComparison.Ordinal)))
        {
            string code = CodeText.WithoutComments(file.Text);
            Assert.All(bad, way => Assert.False(code.Contains(way, StringComparison.Ordinal), $"{file.Path} uses {way}"));
        }

        Assert.InRange(SerialCaliper.PollEvery, TimeSpan.FromMilliseconds(5), TimeSpan.FromMilliseconds(20));
    }

    [Fact]
    public void T51_no_modem_line_is_touched_unless_asked_and_the_notes_say_what_the_board_must_do()
    {
        FakeLine line = new();
        FakeTimeProvider time = new();
        SerialCaliper caliper = new(new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, time, new FakePorts(line));
        SteppedCaliper run = new(caliper, time);
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        line.Put("+1.00 mm\r+2.00 mm\r");
        Assert.IsType<CaliperEvent.Value>(run.Next());
        caliper.Close();

        Assert.Empty(line.Outputs);
        Assert.Equal(0, line.Looks);
        Assert.Contains("**DTR** must not reset the board", SourceTree.Read("firmware-notes/building.md"), StringComparison.Ordinal);
    }

    [Fact]
    public void T54_the_notes_ask_for_a_descriptor_and_rely_on_no_rule()
    {
        string building = SourceTree.Read("firmware-notes/building.md");
        Assert.Contains("**USB descriptor** without AT command support", building, StringComparison.Ordinal);
        Assert.Contains("Text that comes in", building, StringComparison.Ordinal);
        Assert.All(Directory.EnumerateFiles(Path.Combine(SourceTree.Root, "firmware-notes")), page => Assert.DoesNotContain("udev", File.ReadAllText(page), StringComparison.OrdinalIgnoreCase));
    }

    [GeneratedRegex("^T[0-9]{2}(?=,)")]
    private static partial Regex Row();
}
