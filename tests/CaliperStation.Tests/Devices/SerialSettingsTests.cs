using System.IO.Ports;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class SerialSettingsTests
{
    // Rates and framings of published caliper lines, and one that no list has.
    [Theory]
    [InlineData("9600-8N1", 9600, 8, Parity.None, StopBits.One)]
    [InlineData("4800-7E2", 4800, 7, Parity.Even, StopBits.Two)]
    [InlineData("1200-8n2", 1200, 8, Parity.None, StopBits.Two)]
    [InlineData(" 9600-7o1 ", 9600, 7, Parity.Odd, StopBits.One)]
    [InlineData("12345", 12345, 8, Parity.None, StopBits.One)]
    public void A_framing_is_read(string text, int baud, int dataBits, Parity parity, StopBits stopBits)
    {
        SerialSettings? settings = SerialSettings.Parse("/dev/ttyUSB0", text, out string? refusal);

        Assert.Null(refusal);
        Assert.Equal(new SerialSettings("/dev/ttyUSB0", baud, dataBits, parity, stopBits), settings);
        Assert.Equal(settings, SerialSettings.Parse("/dev/ttyUSB0", settings!.Framing, out _));
    }

    [Theory]
    [InlineData("", "baud rate")]
    [InlineData("fast-8N1", "baud rate")]
    [InlineData("0-8N1", "baud rate")]
    [InlineData("-8N1", "baud rate")]
    [InlineData("99999999999", "baud rate")]
    [InlineData("9600-8N", "data bits, parity and stop bits")]
    [InlineData("9600-8N1.5", "data bits, parity and stop bits")]
    [InlineData("9600-9N1", "data bits are 7 or 8")]
    [InlineData("9600-8M1", "parity is N, O or E")]
    [InlineData("9600-8N3", "stop bits are 1 or 2")]
    public void A_framing_that_cannot_be_kept_is_refused_with_what_to_write(string text, string reason)
    {
        Assert.Null(SerialSettings.Parse("p", text, out string? refusal));
        Assert.Contains(reason, refusal);
        Assert.Contains("9600-8N1", refusal);
    }

    [Fact]
    public void A_refusal_never_repeats_control_characters()
    {
        Assert.Null(SerialSettings.Parse("p", "\u001b[2J", out string? refusal));
        Assert.DoesNotContain("\u001b", refusal, StringComparison.Ordinal);
    }
}
