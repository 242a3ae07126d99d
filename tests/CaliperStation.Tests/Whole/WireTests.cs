using System.Numerics;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Wire;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Whole;

/// <summary>Calipers on a wire, played on pseudo-terminals, and the built program; where there are none (Windows), the tests with lines in memory must do.</summary>
public sealed class WireTests : IDisposable
{
    private const string Reading = "\"event\":\"reading\"";
    private const string Refused = "\"event\":\"refused\"";

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [WireFact]
    public async Task Measure_finds_rate_and_parity_and_takes_the_value()
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName, "--serial", "auto");
        void Send() => wire.Write(Even("+3.18 mm\r\n"));
        Assert.Contains("9600-7E2", await bench.SeeAsync(Noted(NoteKind.LineFound), Send), StringComparison.Ordinal);
        bench.Say("ok");
        await bench.SeeAsync("bar-low-left", Send);
        bench.Say("");

        Assert.Contains("\"valueNm\":3180000,\"source\":\"serial\"", await bench.SeeAsync(Reading, Send), StringComparison.Ordinal);
    }

    [WireFact]
    public async Task A_check_finds_rate_and_parity_too_and_is_remembered_for_the_port()
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        using (Talk check = new(_station, "caliper", "check", "--port", wire.PortName, "--serial", "auto", "--blocks", "30", "--json"))
        {
            void Send() => wire.Write(Even("+30.01 mm\r\n"));
            Assert.Contains("9600-7E2", await check.SeeAsync(Noted(NoteKind.LineFound), Send), StringComparison.Ordinal);
            check.Say("");
            Assert.Contains("\"errorNm\":10000", await check.SeeAsync(Reading, Send), StringComparison.Ordinal);
            Assert.Equal(0, await check.EndAsync());
        }

        string[] arguments = [_station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", wire.PortName];
        Assert.DoesNotContain("caliper check", _station.Measure(["stop"], arguments).Error, StringComparison.Ordinal);
    }

    [WireTheory]
    [InlineData("", 30)]
    [InlineData("check-days = 40\n", 40)]
    public void Measure_says_when_the_last_check_of_this_port_is_older_than_the_settings_allow(string settings, int allowed)
    {
        _station.Settings(settings);
        StorePaths paths = StorePaths.OnThisMachine(_station.Store);
        paths.Create();
        using (Store store = Store.OpenForWork(paths, TimeProvider.System, _ => { }))
        {
            CaliperCheck check = new(Length.Millimetre.Times(150), new(new PermissibleError(Length.FromMicrometres(20))), [new(Length.Millimetre, Length.Millimetre)]);
            CheckJournal.Keep(store, check, "none", DateTimeOffset.UtcNow - TimeSpan.FromDays(31.5));
        }

        CheckReminder? told = CheckJournal.Reminder(new SavedCheck(DateTimeOffset.UnixEpoch, true), allowed, DateTimeOffset.UnixEpoch.AddDays(31.5));
        Assert.Equal(allowed == 30 ? ReminderKind.Old : null, told?.Kind);
        string error = _station.Measure(["stop"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "none").Error;
        Assert.Equal(told is not null, error.Contains("caliper check", StringComparison.Ordinal));
        Assert.Contains(told?.Words ?? "", error, StringComparison.Ordinal);
    }

    [WireTheory]
    [InlineData("?\\r", "?\r")]
    [InlineData("1", "1")]
    public async Task A_caliper_that_wants_to_be_asked_is_asked_as_the_settings_say(string setting, string asked)
    {
        _station.Settings($"request = \"{setting}\"\n");
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName);
        await Ready(bench, wire);
        bench.Say("");
        Assert.Equal(asked, Encoding.ASCII.GetString(wire.Read(TimeSpan.FromSeconds(20))));
        wire.Write("+3.18 mm\r\n");
        await bench.SeeAsync(Reading);
    }

    [WireFact]
    public async Task A_toggle_of_DTR_that_the_port_does_not_have_is_told()
    {
        _station.Settings("request = \"dtr\"\n");
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName);
        await Ready(bench, wire);
        bench.Say("");
        await bench.SeeAsync(Noted(NoteKind.NoSwitch));
    }

    [Trait("trouble", "T17")]
    [Trait("trouble", "T31")]
    [WireFact]
    public async Task Silence_an_error_and_a_loss_after_a_request_are_told_apart_and_typing_goes_on()
    {
        const string asked = "R\r";
        _station.Settings("request = \"R\\r\"\n");
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName);
        await Ready(bench, wire);
        bench.Say("");   // silence
        Assert.Equal(asked, Encoding.ASCII.GetString(wire.Read(TimeSpan.FromSeconds(20))));
        Assert.Equal(BenchEngine.NoAnswer, Why(await bench.SeeAsync(Refused)));

        bench.Say("");   // an error line
        Assert.Equal(asked, Encoding.ASCII.GetString(wire.Read(TimeSpan.FromSeconds(20))));
        wire.Write("ERR0\r\n");
        Assert.Contains(AsciiLine.SensorError, Why(await bench.SeeAsync(Refused)), StringComparison.Ordinal);

        bench.Say("");   // unplugged in the middle of the answer
        Assert.Equal(asked, Encoding.ASCII.GetString(wire.Read(TimeSpan.FromSeconds(20))));
        wire.Write("+3.1");
        wire.Dispose();
        string lost = Why(await bench.SeeAsync("\"event\":\"lost\",\"kind\":\"gone\""));
        Assert.StartsWith(lost, Why(await bench.SeeAsync(Refused)), StringComparison.Ordinal);
        bench.Say("1/8");
        Assert.Contains("\"source\":\"typed\"", await bench.SeeAsync(Reading), StringComparison.Ordinal);
    }

    [WireFact]
    public async Task A_bridge_with_lost_repeated_and_damaged_lines_is_told_and_still_measures()
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName, "--serial", "115200-8N1");
        int number = 0;
        int shown = 3_180;
        void Send() => wire.Write(Bridge(number++, shown));
        await Ready(bench, wire);
        bench.Say("");
        Assert.Contains("\"valueNm\":3180000", await bench.SeeAsync(Reading, Send), StringComparison.Ordinal);

        number += 3;
        shown = 3_300;   // the jaws are seen to move
        Send();
        await bench.SeeAsync(Noted(NoteKind.LinesLost));
        wire.Write(Bridge(number - 1, shown));
        await bench.SeeAsync(Noted(NoteKind.LineRepeated));
        wire.Write(Bridge(number, shown).Replace(" D G ", " I G ", StringComparison.Ordinal));   // its CRC no longer fits
        await bench.SeeAsync("\"badFrame\"");
        wire.Write("+9.99 mm\r\n");   // no other form once a bridge was heard
        wire.Write(Bridge(number++, shown, power: BridgePower.Low));
        await bench.SeeAsync(Noted(NoteKind.CellLow));
        wire.Write(Bridge(0, shown, power: BridgePower.Low));
        await bench.SeeAsync(Noted(NoteKind.BridgeRestarted));
        number = 1;
        bench.Say("");
        Assert.Contains("\"valueNm\":3300000", await bench.SeeAsync(Reading, Send), StringComparison.Ordinal);
    }

    [WireFact]
    public async Task A_port_that_is_not_there_at_the_start_is_told_and_opened_when_it_comes()
    {
        string link = Path.Combine(_station.Folder, "caliper");
        using Talk bench = Measure(link);
        await bench.SeeAsync("\"event\":\"lost\",\"kind\":\"notThere\"");
        using PseudoTerminal wire = PseudoTerminal.Open(link);
        await bench.SeeAsync("\"event\":\"back\"");
        bench.Say("ok");
        await bench.SeeAsync("bar-low-left");
        bench.Say("");
        await bench.SeeAsync(Reading, () => wire.Write("+3.18 mm\r"));

        wire.Write("+3.40 mm\r9x9\r");
        await bench.SeeAsync("\"raw\":\"9x9\"");   // so the caliper is seen to move, and the press has to wait
        bench.Say("");
        wire.Write("+3.1");
        wire.Dispose();
        await bench.SeeAsync("\"event\":\"lost\",\"kind\":\"gone\"");
        await bench.SeeAsync(Refused);
        using PseudoTerminal again = PseudoTerminal.Open(link);
        again.Write("8 mm\r+9.99 mm\r");   // the rest of it, and what waited before the port was open again
        await bench.SeeAsync("\"again\":true");
        bench.Say("");
        Assert.Contains("\"valueNm\":3200000", await bench.SeeAsync(Reading, () => again.Write("+3.20 mm\r")), StringComparison.Ordinal);
        bench.Say("stop");
        Assert.Equal(130, await bench.EndAsync());
    }

    [WireFact]
    public async Task A_flood_a_pedal_and_lines_ended_in_every_way_are_one_reading_a_press()
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        using Talk bench = Measure(wire.PortName, "--serial", "115200-8N1");
        string flood = string.Concat(Enumerable.Repeat("+3.18 mm\r+3.18 mm\n+3.19 mm\r\n", 40));   // 115200 baud bring 110 such lines in 100 ms
        await Ready(bench, wire);
        int pedal = 0;
        string taken = await bench.SeeAsync(Reading, () =>
        {
            wire.Write(flood);
            wire.Write(++pedal == 4 ? "0001,FOOTSWITCH, ,01\r\n0001,FOOTSWITCH, ,01\r\n" : "");
        });

        Assert.Contains("\"valueNm\":31", taken, StringComparison.Ordinal);
        bench.Say("stop");
        await bench.EndAsync();
        Assert.DoesNotContain(Refused, bench.Rest, StringComparison.Ordinal);   // the second line of the pedal was the same press
    }

    /// <summary>The beginning of a line that notes this.</summary>
    private static string Noted(NoteKind kind) => $"\"event\":\"caliper\",\"kind\":\"{JsonNamingPolicy.CamelCase.ConvertName(kind.ToString())}\"";

    private static string Why(string line) => JsonDocument.Parse(line).RootElement.GetProperty("why").GetString()!;

    private Talk Measure(string port, params IEnumerable<string> more) =>
        new(_station, ["measure", _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--plain", "--json", "--port", port, .. more]);

    /// <summary>To the first reading, with the port open: what waits in it before is no reading.</summary>
    private static async Task Ready(Talk bench, PseudoTerminal wire)
    {
        bench.Say("ok");
        await bench.SeeAsync("bar-low-left");
        using CancellationTokenSource patience = new(TimeSpan.FromSeconds(20));
        while (!wire.HasListener)
        {
            patience.Token.ThrowIfCancellationRequested();
            await Task.Yield();
        }
    }

    private static string Bridge(int number, int micrometres, BridgePower power = BridgePower.Good) => BridgeLineEncoder.Encode(
        new(number, FrameFormat.Bits24, Bits24Encoder.Encode(Length.FromMicrometres(micrometres), LengthUnit.Millimetre), 66_000, false, power)) + "\r\n";

    /// <summary>Seven bits with even parity in the eighth, as a port set to 8N1, and every pseudo-terminal, hands them over.</summary>
    private static byte[] Even(string text) => [.. Encoding.ASCII.GetBytes(text).Select(value => (byte)(value | ((BitOperations.PopCount(value) & 1) << 7)))];
}
