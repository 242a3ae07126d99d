using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

/// <summary>The real serial library on a real pseudo-terminal; they exist on Linux and macOS.</summary>
public sealed class SerialPortTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly EventLog _log = new();
    private readonly CancellationTokenSource _stop = new();

    private string Link => Path.Combine(_place.Path, "usb-caliper");

    public void Dispose()
    {
        _stop.Dispose();
        _place.Dispose();
    }

    [Fact]
    public void A_library_that_is_not_beside_the_program_is_a_trouble_of_the_port_and_no_crash()
    {
        TypeInitializationException missing = new("Ports", new DllNotFoundException());

        Assert.True(SerialLink.IsLineFailure(missing));
        Assert.Equal(PortTroubleKind.Failed, SystemPorts.Instance.After("/dev/ttyUSB0", missing).Kind);
        Assert.Equal(PortTroubleKind.Failed, SystemPorts.Instance.After("/dev/ttyUSB0", new DllNotFoundException()).Kind);
    }

    [Fact]
    public async Task A_caliper_whose_reader_fails_is_told_as_lost_and_its_fault_is_kept()
    {
        List<CaliperEvent> told = [];
        await Assert.ThrowsAsync<InvalidOperationException>(() => new FailingCaliper().RunAsync(told.Add, CancellationToken.None));

        Assert.Equal(LossKind.Failed, Assert.IsType<CaliperEvent.Lost>(Assert.Single(told)).Kind);
    }

    private sealed class FailingCaliper : ICaliper
    {
        public string Name => "caliper";

        public ReadingSource Source => ReadingSource.Serial;

        public bool Asks => false;

        public bool Request() => false;

        public TimeSpan Step(Action<CaliperEvent> post) => throw new InvalidOperationException();

        public void Close()
        {
        }
    }

    [Theory]
    [InlineData("9600-8N1")]
    [InlineData("4800-7E2")]
    [InlineData("115200-8N1")]
    [InlineData("12345-7O1")]
    public async Task Bytes_on_the_wire_become_values(string framing)
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        Task run = Start(wire.PortName, framing);
        await _log.NextAsync<CaliperEvent.Opened>();
        wire.Write("+12.345 mm\r-0.5000 in\n+7.00 mm\r\n");

        Assert.Equal(Length.FromNanometres(12_345_000), (await _log.NextAsync<CaliperEvent.Value>()).Reading.Value);
        Assert.Equal(Length.FromNanometres(-12_700_000), (await _log.NextAsync<CaliperEvent.Value>()).Reading.Value);
        Assert.Equal(Length.FromNanometres(7_000_000), (await _log.NextAsync<CaliperEvent.Value>()).Reading.Value);
        await StopAsync(run);
    }

    [Trait("trouble", "T41")]
    [Fact]
    public async Task Pulling_the_plug_is_told_within_a_second_and_the_same_name_is_opened_again()
    {
        using PseudoTerminal first = PseudoTerminal.Open(Link);
        Task run = Start(Link, "4800-7E2");
        await _log.NextAsync<CaliperEvent.Opened>();
        first.Write("+1.00 mm\r+66.6");
        await _log.NextAsync<CaliperEvent.Value>();

        long pulled = TimeProvider.System.GetTimestamp();
        first.Dispose();
        await _log.NextAsync<CaliperEvent.Lost>();
        Assert.True(TimeProvider.System.GetElapsedTime(pulled) < TimeSpan.FromSeconds(1));

        long back = TimeProvider.System.GetTimestamp();
        using PseudoTerminal second = PseudoTerminal.Open(Link);
        await _log.NextAsync<CaliperEvent.Opened>();
        Assert.True(TimeProvider.System.GetElapsedTime(back) < TimeSpan.FromSeconds(1.5));
        second.Write("+2.00 mm\r");
        Assert.Equal("+2.00 mm", (await _log.NextAsync<CaliperEvent.Value>()).Reading.Raw);
        await StopAsync(run);
    }

    [Theory]
    [InlineData("9600-7E1")]
    [InlineData("4800-7E2")]
    [InlineData("9600-8N1")]
    public async Task The_same_line_opens_a_second_time(string framing)
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        for (int opening = 0; opening < 2; opening++)
        {
            SerialSettings settings = SerialSettings.Parse(wire.PortName, framing, out _)!;
            SerialPortLine line = new(settings);
            line.Open();
            Assert.Equal(0, line.BytesToRead);
            Assert.True(await LineCloser.CloseAsync(line, TimeProvider.System));
        }
    }

    [Fact]
    public async Task A_request_reaches_the_instrument()
    {
        using PseudoTerminal wire = PseudoTerminal.Open();
        SerialCaliper caliper = Caliper(wire.PortName, "9600-8N1", new CaliperRequest("R\r"u8.ToArray()));
        Task run = caliper.RunAsync(_log.Post, _stop.Token);
        await _log.NextAsync<CaliperEvent.Opened>();
        Assert.True(caliper.Request());

        Assert.Equal("R\r"u8.ToArray(), wire.Read(TimeSpan.FromSeconds(10)));
        await StopAsync(run);
    }

    [Fact]
    public void A_name_that_is_not_there_is_told_apart()
    {
        PortTrouble? trouble = SystemPorts.Instance.Before(Path.Combine(_place.Path, "none\u001b[2J"));

        Assert.Equal(PortTroubleKind.NoSuchPort, trouble?.Kind);
        Assert.Contains("caliper ports", trouble!.Words);
        Assert.DoesNotContain("\u001b", trouble.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_link_that_leads_nowhere_is_no_port()
    {
        File.CreateSymbolicLink(Link, Path.Combine(_place.Path, "gone"));

        Assert.Equal(PortTroubleKind.NoSuchPort, SystemPorts.Instance.Before(Link)?.Kind);
    }

    [Trait("trouble", "T58")]
    [Fact]
    public void A_folder_and_a_file_are_no_serial_lines()
    {
        string file = Path.Combine(_place.Path, "notes.txt");
        File.WriteAllText(file, "x");

        Assert.Equal(PortTroubleKind.NotSerial, SystemPorts.Instance.Before(_place.Path)?.Kind);
        using SerialPortLine line = new(new SerialSettings(file));
        Exception failure = Assert.ThrowsAny<Exception>(line.Open);
        Assert.True(SerialLink.IsLineFailure(failure));
        Assert.Equal(PortTroubleKind.NotSerial, SystemPorts.Instance.After(file, failure).Kind);
    }

    [Fact]
    public void A_port_another_program_holds_is_busy_and_the_program_is_named()
    {
        string process = Path.Combine(_place.Path, "4711");
        Directory.CreateDirectory(Path.Combine(process, "fd"));
        File.WriteAllText(Path.Combine(process, "comm"), "terminal\u001b\n");
        File.CreateSymbolicLink(Path.Combine(process, "fd", "3"), "/dev/ttyUSB7");

        Assert.Equal("terminal\\x1B (process 4711)", PortHolder.Of("/dev/ttyUSB7", _place.Path, 1)?.Words);
        Assert.Null(PortHolder.Of("/dev/ttyUSB8", _place.Path, 1));
        Assert.Null(PortHolder.Of("/dev/ttyUSB7", _place.Path, 4711));   // ourselves
    }

    private static SerialCaliper Caliper(string port, string framing, CaliperRequest? request = null) =>
        new(SerialSettings.Parse(port, framing, out _)!, () => new AsciiLineDecoder(), LengthUnit.Millimetre, TimeProvider.System, request: request);

    private Task Start(string port, string framing) => Caliper(port, framing).RunAsync(_log.Post, _stop.Token);

    private async Task StopAsync(Task run)
    {
        await _stop.CancelAsync();
        await run.WaitAsync(TimeSpan.FromSeconds(10));
    }
}
