using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Toml;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Files;

namespace CaliperStation.Tests.Devices;

public sealed class SettingsTests
{
    [Fact]
    public void An_empty_file_is_the_usual_bench() => Assert.Equal(Settings.Default, Settings.Parse("# nothing\n", "settings.toml"));

    [Fact]
    public void The_line_is_set_by_its_settings()
    {
        Settings settings = Settings.Parse(
            "port = \"/dev/a\"\nserial = \"4800-7E2\"\nunit = \"mm\"\nmask-bit-8 = true\nformat = \"bridge\"\nfine-24-bit = true\ntwo-word-displayed = \"first\"\ntwo-word-inverted = true\ntwo-word-negated = false\n", "s");

        Assert.Equal(
            new Settings
            {
                Port = "/dev/a",
                Serial = "4800-7E2",
                Unit = LengthUnit.Millimetre,
                MaskBit8 = true,
                Format = LineFormat.Bridge,
                Fine24 = true,
                TwoWord = new TwoWordOptions(TwoWordOrder.DisplayedFirst, true, false),
            },
            settings);
    }

    [Fact]
    public void Switch_request_and_check_are_set_by_theirs()
    {
        Settings settings = Settings.Parse(
            "request = \"R\\r\"\nlines-on = \"rts dtr\"\nswitch-line = \"dsr\"\nswitch-pressed = \"off\"\npress-key = \"F5\"\npress-text = \"b\"\n"
            + "check-range = \"6 in\"\ncheck-permissible = \"0.03 mm\"\ncheck-days = 7\nsmallest-move = \"0.25 mm\"\ncheck-blocks = [\"0 mm\", \"1 in\"]\n", "s");

        Assert.Equal("R\r"u8.ToArray(), settings.Request!.Bytes);
        Assert.Equal(new ModemSettings(true, true, ModemInput.Dsr, PressedWhenOn: false), settings.Modem);
        Assert.Equal(("F5", "b"), (settings.PressKey, settings.PressText));
        Assert.Equal((Length.Inch.Times(6), Length.FromMicrometres(30), 7), (settings.Check.Range, settings.Check.Permissible.Outside.Constant, settings.Check.Days));
        Assert.Equal([CheckPoint.Asked(Length.Zero), CheckPoint.Asked(Length.Inch)], settings.Check.Points);
        Assert.Equal(Length.FromMicrometres(250), settings.SmallestMove);
        Assert.Null(Settings.Parse("request = \"dtr\"", "s").Request!.Bytes);
    }

    [Fact]
    public void A_check_names_its_places_and_an_error_that_grows()
    {
        CheckSettings check = Settings.Parse(
            "check-permissible = \"0.02 mm + L/10000\"\ncheck-permissible-inside = \"0.03 mm\"\ncheck-blocks = [\"0 mm\", \"41.3 mm\", \"140 mm far\", \"5.08 mm inside\", \"20 mm depth\"]\n", "s").Check;

        Assert.Equal(new CheckLimits(new(Length.FromMicrometres(20), 10_000), new PermissibleError(Length.FromMicrometres(30))), check.Permissible);
        Assert.Equal([CheckPlace.Near, CheckPlace.Near, CheckPlace.Far, CheckPlace.Inside, CheckPlace.Depth], check.Points.Select(point => point.Place));
        Assert.Equal(Length.FromMicrometres(5_080), check.Points[3].Block);
    }

    [Fact]
    public void What_studies_found_of_hands_is_written_and_read_alike()
    {
        HandFigure all = new(null, Length.FromNanometres(61_234), 60, Length.Zero, 2, new DateOnly(2026, 12, 1), "20261201T080000000Z-STUDY");
        HandFigure own = all with { Hand = "AB", Repeatability = Length.FromMicrometres(50), Reproducibility = Length.FromNanometres(1) };
        string before = "port = \"none\"  # as ever\nhand-days = 30\n";

        string once = SettingsFile.With(before, "hands", [all]);
        string twice = SettingsFile.With(once, "hands", HandFigureSettings.With(HandFigureSettings.With(Settings.Parse(once, "s").Hands, own), all with { Study = "later" }));

        Assert.Equal([all], Settings.Parse(once, "s").Hands);
        Assert.Equal([own, all with { Study = "later" }], Settings.Parse(twice, "s").Hands);
        Assert.Equal(30, Settings.Parse(twice, "s").HandDays);
        Assert.StartsWith(before, twice, StringComparison.Ordinal);
        Assert.Equal(once, SettingsFile.With(once, "hands", [all]));
    }

    [Theory]
    [InlineData("check-permissible = \"0.02\"", "0.02 mm + L/10000")]
    [InlineData("check-permissible = \"0.02 mm + 5\"", "0.02 mm + L/10000")]
    [InlineData("check-permissible = \"0 mm\"", "0.02 mm + L/10000")]
    [InlineData("check-permissible-depth = \"much\"", "0.04 mm")]
    [InlineData("check-blocks = [\"30 mm beside\"]", "140 mm far")]
    [InlineData("hands = [{ repeatability = \"0.06 mm\" }]", "repeatability-degrees")]
    [InlineData("hands = [{ repeatability = \"0.06\", repeatability-degrees = 6, reproducibility = \"0 mm\", reproducibility-degrees = 1, date = \"2026-12-01\", study = \"s\" }]", "0.061 mm")]
    [InlineData("hands = [{ repeatability = \"0.06 mm\", repeatability-degrees = 0, reproducibility = \"0 mm\", reproducibility-degrees = 1, date = \"2026-12-01\", study = \"s\" }]", "0.061 mm")]
    [InlineData("hands = [{ repeatability = \"0.06 mm\", repeatability-degrees = 6, reproducibility = \"0 mm\", reproducibility-degrees = 1, date = \"2026-13-01\", study = \"s\" }]", "0.061 mm")]
    [InlineData("hands = [{ repeatability = \"0.06 mm\", repeatability-degrees = 6, reproducibility = \"0 mm\", reproducibility-degrees = 1, date = \"2026-12-01\", study = \"s\", name = \"x\" }]", "0.061 mm")]
    [InlineData("hand-days = -1", "365")]
    [InlineData("press-text = \"bb\"", "one letter")]
    [InlineData("press-text = \"1\"", "one letter")]
    [InlineData("switch-line = \"ri\"", "ring line")]
    [InlineData("lines-on = \"all\"", "rts dtr")]
    [InlineData("request = \"\"", "\"R\\r\"")]
    [InlineData("check-blocks = [\"30\"]", "30 mm")]
    [InlineData("smallest-move = \"0 mm\"", "above 0")]
    [InlineData("smallest-move = \"0.25\"", "above 0")]
    [InlineData("check-days = -1", "30")]
    [InlineData("format = \"hex\"", "\"ascii\"")]
    [InlineData("fine-24-bit = \"yes\"", "true or false")]
    [InlineData("serial = \"fast\"", "baud rate")]
    [InlineData("colour = \"red\"", "")]
    [InlineData("[port]\n", "\"auto\"")]
    [InlineData("port = ", "key = value")]
    public void Every_fault_is_told_with_its_place_and_what_to_write(string text, string instead)
    {
        StationException told = Assert.Throws<StationException>(() => Settings.Parse(text, "s.toml"));

        Assert.Equal(ExitCode.BadFile, told.ExitCode);
        TextFault fault = Assert.Single(told.Faults);
        Assert.Equal(1, fault.Line);
        Assert.Contains(instead, fault.Instead, StringComparison.Ordinal);
        Assert.Contains(fault.Message, told.Message, StringComparison.Ordinal);
        Assert.Matches(@"s\.toml:1:\d+: ", told.Message);
    }

    [Fact]
    public void The_decoder_is_the_one_that_was_set()
    {
        Assert.IsType<AutoLineDecoder>(LineDecoders.For(Settings.Default)());
        Assert.IsType<AsciiLineDecoder>(LineDecoders.For(Settings.Default with { MaskBit8 = true })());
        Assert.IsType<AsciiLineDecoder>(LineDecoders.For(Settings.Default with { Format = LineFormat.Ascii })());
        Assert.IsType<BridgeLineDecoder>(LineDecoders.For(Settings.Default with { Format = LineFormat.Bridge })());
    }
}
