using System.Numerics;
using System.Text;
using CaliperStation.Cli;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class LineDoctorTests
{
    private const string Lines = "+12.34 mm\r\n+12.35 mm\r\n+12.36 mm\r\n+12.37 mm\r\n+12.38 mm\r\n";

    private static readonly TimeSpan _long = TimeSpan.FromSeconds(4);

    [Fact]
    public void Silence_is_told_after_three_seconds()
    {
        Assert.Null(new LineDoctor().Opinion(TimeSpan.FromSeconds(2)));
        Assert.Contains("Nothing comes", new LineDoctor().Opinion(_long));
    }

    [Fact]
    public void Good_lines_need_no_doctor()
    {
        LineDoctor doctor = new();
        doctor.Take(Encoding.ASCII.GetBytes(Lines));
        doctor.TakeValue();

        Assert.Null(doctor.Opinion(_long));
    }

    [Fact]
    public void Seven_bits_with_parity_read_as_eight_are_recognised()
    {
        Assert.Contains("even parity", Opinion(value => value | (Odd(value) ? 0x80 : 0)));
        Assert.Contains("odd parity", Opinion(value => value | (Odd(value) ? 0 : 0x80)));
    }

    [Fact]
    public void An_undefined_bit_8_is_recognised() => Assert.Contains("bit 8", Opinion(value => value | 0x80));

    [Fact]
    public void A_line_turned_over_is_recognised() =>

        // The receiver starts one bit late and reads complements; forum.arduino.cc thread 543935 has such a log.
        Assert.Contains("inverted", Opinion(value => (~value << 1) & 0xFF));

    [Fact]
    public void A_wrong_baud_rate_is_told() => Assert.Contains("baud rate", Opinion(value => value % 3 == 0 ? 0 : 0xFC));

    [Fact]
    public void Text_without_ends_and_text_without_readings_are_told_apart()
    {
        LineDoctor endless = new();
        endless.Take(Encoding.ASCII.GetBytes(Lines.Replace("\r\n", " ", StringComparison.Ordinal)));
        LineDoctor wordy = new();
        wordy.Take(Encoding.ASCII.GetBytes(Lines));
        wordy.TakeRefused("no unit");

        Assert.Contains("no line ever ends", endless.Opinion(_long));
        Assert.Contains("no line is a reading: no unit", wordy.Opinion(_long));
    }

    [Fact]
    public void Lines_without_a_unit_are_told_with_what_to_set()
    {
        LineDoctor doctor = new();
        doctor.Take(Encoding.ASCII.GetBytes(Lines));
        doctor.TakeRefused("the line names no unit and none is set for this caliper");

        Assert.Contains("--unit", doctor.Opinion(_long));
    }

    [Theory]
    [InlineData(false, 3)]
    [InlineData(true, 20)]
    public void Of_many_refused_lines_a_second_words_show_a_few_and_objects_all(bool json, int shown)
    {
        StringWriter output = new();
        ListenReport report = new(output, json, new LineDoctor(), TimeProvider.System);
        for (int line = 0; line < 20; line++)
        {
            report.Take(new CaliperEvent.Refused("the line fits no known form", "x"));
        }

        report.Take(null);
        string[] lines = output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(shown, lines.Count(line => line.Contains("no known form", StringComparison.Ordinal)));
        Assert.Contains(lines, line => line.Contains(json ? "\"refused\":20" : "20 refused", StringComparison.Ordinal));
    }

    [Fact]
    public void Many_refusals_among_values_are_told()
    {
        LineDoctor doctor = new();
        doctor.Take(Encoding.ASCII.GetBytes(Lines));
        doctor.TakeValue();
        doctor.TakeRefused("two points");

        Assert.Contains("one line in twenty", doctor.Opinion(_long));
    }

    private static string? Opinion(Func<byte, int> wire)
    {
        LineDoctor doctor = new();
        doctor.Take([.. Encoding.ASCII.GetBytes(Lines).Select(value => (byte)wire(value))]);
        return doctor.Opinion(_long);
    }

    private static bool Odd(byte value) => (BitOperations.PopCount(value) & 1) != 0;
}
