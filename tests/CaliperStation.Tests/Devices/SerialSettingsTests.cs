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
        SerialSettings? settings = SerialSettings.Parse("/dev/ttyUSB0", text, out FramingRefusal? refusal);

        Assert.Null(refusal);
        Assert.Equal(new SerialSettings("/dev/ttyUSB0", baud, dataBits, parity, stopBits), settings);
        Assert.Equal(settings, SerialSettings.Parse("/dev/ttyUSB0", settings!.Framing, out _));
    }

    [Theory]
    [InlineData("", FramingFault.Baud)]
    [InlineData("fast-8N1", FramingFault.Baud)]
    [InlineData("0-8N1", FramingFault.Baud)]
    [InlineData("-8N1", FramingFault.Baud)]
    [InlineData("99999999999", FramingFault.Baud)]
    [InlineData("9600-8N", FramingFault.Shape)]
    [InlineData("9600-8N1.5", FramingFault.Shape)]
    [InlineData("9600-9N1", FramingFault.DataBits)]
    [InlineData("9600-8M1", FramingFault.Parity)]
    [InlineData("9600-8N3", FramingFault.StopBits)]
    public void A_framing_that_cannot_be_kept_is_refused_with_what_to_write(string text, object fault)
    {
        Assert.Null(SerialSettings.Parse("p", text, out FramingRefusal? refusal));
        Assert.Equal(fault, refusal?.Fault);
        Assert.Contains("9600-8N1", refusal!.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_refusal_never_repeats_control_characters()
    {
        Assert.Null(SerialSettings.Parse("p", "\u001b[2J", out FramingRefusal? refusal));
        Assert.DoesNotContain("\u001b", refusal!.Words, StringComparison.Ordinal);
    }
}
