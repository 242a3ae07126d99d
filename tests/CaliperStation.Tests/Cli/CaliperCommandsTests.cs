using System.Text.Json;
using System.Threading.Channels;
using CaliperStation.Cli;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Files;

namespace CaliperStation.Tests.Cli;

public sealed class CaliperCommandsTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly CancellationTokenSource _stop = new(TimeSpan.FromSeconds(30));

    public void Dispose()
    {
        _stop.Dispose();
        _place.Dispose();
    }

    [Fact]
    public async Task I_can_emulate_a_caliper_listen_to_it_keep_it_and_play_it_back()
    {
        string link = Path.Combine(_place.Path, "line");
        string script = Path.Combine(_place.Path, "script.txt");
        string capture = Path.Combine(_place.Path, "kept.cap");
        await File.WriteAllTextAsync(script, "wait 300ms\n1/8 in\n2.5 mm\nsend \"\\x1B[2J\\r\\n\"\n-1/64 in\n");
        LineWriter port = new();
        TransmitterSettings transmitter = new(LengthUnit.Inch, "\r\n", 20, 9600, 1);
        Task<int> emulate = CaliperEmulate.RunAsync(
            new CaliperEmulateOptions(transmitter, script, link), TextReader.Null, port, TextWriter.Null, _stop.Token);
        Assert.Equal(link, await port.NextAsync(_stop.Token));

        LineWriter heard = new();
        using CancellationTokenSource enough = CancellationTokenSource.CreateLinkedTokenSource(_stop.Token);
        Task<int> listen = CaliperListen.RunAsync(
            new CaliperListenOptions(new SerialSettings(link), AsciiOptions.Default, Save: capture, Json: true), heard, TextWriter.Null, enough.Token);
        List<string> live = await WhatCameAsync(heard);
        await enough.CancelAsync();
        Assert.Equal(0, await listen);
        await _stop.CancelAsync();
        Assert.Equal(0, await emulate);
        Assert.False(Path.Exists(link));

        // -1/64 in is 0.015625 in: the display counts in 0.0005 in, so it shows 0.0155.
        Assert.Equal(["3175000", "2501900", "\\x1B[2J", "-393700"], live);
        StringWriter replayed = new();
        int code = await CaliperListen.RunAsync(
            new CaliperListenOptions(new SerialSettings("none"), AsciiOptions.Default, Replay: capture, Json: true), replayed, TextWriter.Null, CancellationToken.None);
        Assert.Equal(0, code);
        Assert.Equal(live, replayed.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(Found).OfType<string>());
    }

    [Fact]
    public async Task A_port_that_is_not_there_ends_listening_with_4_and_says_so()
    {
        StringWriter errors = new();
        string port = Path.Combine(_place.Path, "none");
        int code = await CaliperListen.RunAsync(new CaliperListenOptions(new SerialSettings(port), AsciiOptions.Default), TextWriter.Null, errors, _stop.Token);

        Assert.Equal(4, code);
        Assert.Equal(SystemPorts.Instance.Before(port)!.Words, errors.ToString().Trim());
    }

    [Fact]
    public async Task A_bad_capture_and_a_bad_script_end_with_3_and_name_the_line()
    {
        string file = Path.Combine(_place.Path, "bad");
        await File.WriteAllTextAsync(file, "# caliper-station capture 1\nwait what\n");
        StringWriter errors = new();
        StationException refused = await Assert.ThrowsAsync<StationException>(() => CaliperListen.RunAsync(
            new CaliperListenOptions(new SerialSettings("none"), AsciiOptions.Default, Replay: file), TextWriter.Null, errors, _stop.Token));
        Assert.Equal(3, refused.ExitCode);
        Assert.Contains("bad:2: ", refused.Message, StringComparison.Ordinal);
        Assert.Equal(3, await CaliperEmulate.RunAsync(
            new CaliperEmulateOptions(new TransmitterSettings(LengthUnit.Inch, "\r", 10, 9600, 1), file), TextReader.Null, TextWriter.Null, errors, _stop.Token));

        Assert.Contains("bad:2: ", errors.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_existing_capture_is_never_overwritten_and_a_file_never_replaced_by_a_link()
    {
        string file = Path.Combine(_place.Path, "mine");
        await File.WriteAllTextAsync(file, "mine");
        using PseudoTerminal line = PseudoTerminal.Open();
        Assert.Equal(3, await CaliperListen.RunAsync(
            new CaliperListenOptions(new SerialSettings(line.PortName), AsciiOptions.Default, Save: file), TextWriter.Null, TextWriter.Null, _stop.Token));
        Assert.Equal(4, await CaliperEmulate.RunAsync(
            new CaliperEmulateOptions(new TransmitterSettings(LengthUnit.Inch, "\r", 10, 9600, 1), null, file), TextReader.Null, TextWriter.Null, TextWriter.Null, _stop.Token));

        Assert.Equal("mine", await File.ReadAllTextAsync(file));
    }

    [Theory]
    [InlineData("ascii", "+12.34 mm", "{\"valueNm\":12340000,\"unit\":\"mm\"}", 0)]
    [InlineData("ascii", "-0.5000 in\\r\\n", "{\"valueNm\":-12700000,\"unit\":\"in\"}", 0)]
    [InlineData("ascii", "911", "\"refused\":", 1)]
    [InlineData("24-bit", "01", "\"refused\":", 1)]
    public async Task A_frame_is_decoded_to_one_object_a_line(string format, string frame, string expected, int code)
    {
        StringWriter output = new();
        int result = await CaliperDecode.RunAsync(
            new CaliperDecodeOptions(format, FrameOptions.Default), new StringReader(frame + "\n\n"), output, TextWriter.Null, _stop.Token);

        Assert.Equal(code, result);
        string line = output.ToString().TrimEnd('\n');
        Assert.Contains(expected, line);
        using JsonDocument _ = JsonDocument.Parse(line);
    }

    [Fact]
    public async Task An_unknown_format_is_wrong_usage()
    {
        StringWriter errors = new();
        Assert.Equal(2, await CaliperDecode.RunAsync(
            new CaliperDecodeOptions("25-bit\u001b", FrameOptions.Default), TextReader.Null, TextWriter.Null, errors, _stop.Token));
        Assert.DoesNotContain("\u001b", errors.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Ports_are_listed_in_words_and_as_objects()
    {
        Directory.CreateDirectory(Path.Combine(_place.Path, "dev"));
        await File.WriteAllTextAsync(Path.Combine(_place.Path, "dev", "ttyUSB0"), "");
        PortList list = new(Path.Combine(_place.Path, "dev"), _place.Path, _ => new PortTrouble(PortTroubleKind.Busy, "It is busy."));
        StringWriter words = new();
        StringWriter json = new();
        Assert.Equal(0, await CaliperPorts.RunAsync(new CaliperPortsOptions(false, false), words, TextWriter.Null, _stop.Token, list));
        Assert.Equal(0, await CaliperPorts.RunAsync(new CaliperPortsOptions(false, true), json, TextWriter.Null, _stop.Token, list));

        Assert.Contains("It is busy.", words.ToString());
        using JsonDocument port = JsonDocument.Parse(json.ToString());
        Assert.Equal("busy", port.RootElement.GetProperty("trouble").GetString());
    }

    private async Task<List<string>> WhatCameAsync(LineWriter heard)
    {
        List<string> found = [];
        while (found.Count < 4)
        {
            if (Found(await heard.NextAsync(_stop.Token)) is { } one)
            {
                found.Add(one);
            }
        }

        return found;
    }

    private static string? Found(string line)
    {
        using JsonDocument json = JsonDocument.Parse(line);
        return json.RootElement.GetProperty("event").GetString() switch
        {
            "value" => json.RootElement.GetProperty("valueNm").GetRawText(),
            "refused" => json.RootElement.GetProperty("raw").GetString(),
            _ => null,
        };
    }

    /// <summary>Hands each written line on.</summary>
    private sealed class LineWriter : StringWriter
    {
        private readonly Channel<string> _lines = Channel.CreateUnbounded<string>();

        public override void WriteLine(string? value) => _lines.Writer.TryWrite(value ?? "");

        public override Task WriteLineAsync(string? value)
        {
            WriteLine(value);
            return Task.CompletedTask;
        }

        internal async Task<string> NextAsync(CancellationToken stop) => await _lines.Reader.ReadAsync(stop);
    }
}
