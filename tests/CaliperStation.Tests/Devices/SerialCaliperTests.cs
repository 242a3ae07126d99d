using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class SerialCaliperTests : IDisposable
{
    private static readonly TimeSpan _step = TimeSpan.FromMilliseconds(8);

    private readonly RecordingTime _time = new();
    private readonly EventLog _log = new();
    private readonly CancellationTokenSource _stop = new();

    public void Dispose() => _stop.Dispose();

    [Fact]
    public async Task Loss_is_told_at_the_next_poll_and_the_port_comes_back_by_the_same_name()
    {
        FakeLine first = new();
        FakeLine second = new();
        FakePorts ports = new(first, second);
        Task run = Start(ports);
        Assert.IsType<CaliperEvent.Opened>(await Next());
        first.Put("+1.00 mm\r");
        Assert.IsType<CaliperEvent.Value>(await Next());

        first.Put("+66.6");
        await EventLog.UntilAsync(() => first.BytesToRead == 0, _time, _step);
        first.Unplugged = true;
        CaliperEvent.Lost lost = Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.Equal(1, first.PollsAfterLoss);   // the first poll, 8 ms later at most, sees it
        Assert.Contains("Plug it in again", lost.Why);

        second.Put("6 mm\r+55.55 mm\r");   // waited before the port was open again
        Assert.IsType<CaliperEvent.Opened>(await Next());
        await EventLog.UntilAsync(() => second.BytesToRead == 0, _time, _step);
        second.Put("+2.00 mm\r");
        Assert.Equal("+2.00 mm", Assert.IsType<CaliperEvent.Value>(await Next()).Raw);
        Assert.True(first.Disposed);
        await StopAsync(run);
        Assert.True(second.Disposed);
    }

    [Fact]
    public async Task Another_device_behind_the_same_name_is_told_and_the_same_one_is_not()
    {
        FakeLine first = new();
        FakeLine second = new();
        FakePorts ports = new(first, second, new FakeLine()) { CurrentIdentity = "caliper-1" };
        Task run = Start(ports);
        Assert.IsType<CaliperEvent.Opened>(await Next());
        first.Unplugged = true;
        Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.IsType<CaliperEvent.Opened>(await Next());
        second.Unplugged = true;
        ports.CurrentIdentity = "caliper-2\u001b";
        Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.IsType<CaliperEvent.Opened>(await Next());

        CaliperEvent.Noted told = Assert.IsType<CaliperEvent.Noted>(await Next());
        Assert.Equal(NoteKind.OtherDevice, told.Kind);
        Assert.Contains("caliper-2\\x1B", told.Words, StringComparison.Ordinal);
        await StopAsync(run);
    }

    [Fact]
    public async Task A_node_that_vanishes_is_a_loss_though_the_line_keeps_silent()
    {
        FakeLine line = new();
        FakePorts ports = new(line);
        Task run = Start(ports);
        await Next();
        int before = line.Polls;
        ports.CurrentNode = null;

        Assert.Contains("its device is gone", Assert.IsType<CaliperEvent.Lost>(await Next()).Why);
        Assert.True(line.Polls - before <= (SerialCaliper.LookAtNodeEvery / SerialCaliper.PollEvery) + 1);
        await StopAsync(run);
    }

    [Fact]
    public async Task A_link_that_leads_to_another_device_is_a_loss()
    {
        FakePorts ports = new(new FakeLine(), new FakeLine());
        Task run = Start(ports);
        await Next();
        ports.CurrentNode = "/dev/fake1";

        Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.IsType<CaliperEvent.Opened>(await Next());
        await StopAsync(run);
    }

    [Fact]
    public async Task A_port_that_is_not_there_is_told_once_and_tried_ever_more_rarely_up_to_five_seconds()
    {
        FakePorts ports = new();
        Task run = Start(ports);
        Assert.Equal("There is no such port.", Assert.IsType<CaliperEvent.Lost>(await Next()).Why);
        await EventLog.UntilAsync(() => ports.Tries >= 7, _time, _step);

        Assert.Equal([0.5, 1, 2, 4, 5, 5], _time.Waits.Take(6).Select(wait => wait.TotalSeconds));
        Assert.Empty(_log.Rest());
        await StopAsync(run);
    }

    [Fact]
    public async Task T53_a_busy_port_is_told_at_once_with_the_modem_search_and_opened_when_it_is_free()
    {
        FakeLine line = new();
        FakePorts ports = new(line) { Trouble = new(PortTroubleKind.Busy, "/dev/ttyACM0 is busy." + SystemPorts.ModemHint("/dev/ttyACM0")) };
        Task run = Start(ports);
        Assert.Contains("search for modems", Assert.IsType<CaliperEvent.Lost>(await Next()).Why);
        long busy = _time.GetTimestamp();
        await EventLog.UntilAsync(() => _time.GetElapsedTime(busy) > TimeSpan.FromSeconds(10), _time, _step);
        ports.Trouble = null;
        Assert.IsType<CaliperEvent.Opened>(await Next());

        Assert.True(_time.GetElapsedTime(busy) < TimeSpan.FromSeconds(15.5) + (100 * _step));
        Assert.Empty(SystemPorts.ModemHint("/dev/ttyUSB0"));
        await StopAsync(run);
    }

    [Fact]
    public async Task A_line_that_fails_to_open_says_why()
    {
        FakeLine line = new() { OnOpen = new UnauthorizedAccessException() };
        Task run = Start(new FakePorts(line));

        Assert.Equal("It is busy.", Assert.IsType<CaliperEvent.Lost>(await Next()).Why);
        Assert.True(line.Disposed);
        await StopAsync(run);
    }

    [Fact]
    public async Task A_request_is_written_by_the_owner_and_never_to_a_lost_port()
    {
        FakeLine line = new();
        FakePorts ports = new(line);
        SerialCaliper caliper = Caliper(ports);
        Assert.False(caliper.Request("R\r"u8.ToArray()));
        Task run = caliper.RunAsync(_log.Post, _stop.Token);
        await Next();
        Assert.True(caliper.Request("R\r"u8.ToArray()));
        await EventLog.UntilAsync(() => line.Written.Count == 1, _time, _step);

        line.Unplugged = true;
        caliper.Request("?\r"u8.ToArray());
        await Next();
        await EventLog.UntilAsync(() => line.Disposed, _time, _step);
        Assert.False(caliper.Request("?\r"u8.ToArray()));
        Assert.False(line.WroteAfterLoss);
        Assert.Equal(["R\r"], line.Written);
        await StopAsync(run);
    }

    [Fact]
    public async Task A_request_that_is_not_taken_is_a_loss()
    {
        FakeLine line = new() { OnWrite = new TimeoutException() };
        SerialCaliper caliper = Caliper(new FakePorts(line));
        Task run = caliper.RunAsync(_log.Post, _stop.Token);
        await Next();
        caliper.Request("R\r"u8.ToArray());

        Assert.Contains("takes no request", Assert.IsType<CaliperEvent.Lost>(await Next()).Why);
        await StopAsync(run);
    }

    [Fact]
    public async Task A_close_that_hangs_is_left_behind_after_two_seconds()
    {
        using ManualResetEventSlim hang = new();
        FakeLine first = new() { HangsOnDispose = hang };
        FakePorts ports = new(first, new FakeLine());
        Task run = Start(ports);
        await Next();
        first.Unplugged = true;

        Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.IsType<CaliperEvent.Opened>(await Next());
        Assert.Contains(LineCloser.Limit, _time.Waits);
        await StopAsync(run);
        hang.Set();
    }

    [Fact]
    public async Task A_close_that_fails_does_not_stop_the_caliper()
    {
        FakeLine first = new() { OnDispose = new IOException() };
        Task run = Start(new FakePorts(first, new FakeLine()));
        await Next();
        first.OnBytesToRead = new InvalidOperationException();

        Assert.IsType<CaliperEvent.Lost>(await Next());
        Assert.IsType<CaliperEvent.Opened>(await Next());
        await StopAsync(run);
    }

    private SerialCaliper Caliper(FakePorts ports) =>
        new(new SerialSettings("/dev/serial/by-id/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, ports);

    private Task Start(FakePorts ports) => Caliper(ports).RunAsync(_log.Post, _stop.Token);

    private Task<CaliperEvent> Next() => _log.NextAsync(_time, _step);

    private async Task StopAsync(Task run)
    {
        await _stop.CancelAsync();
        await EventLog.UntilAsync(() => run.IsCompleted, _time, _step);
        await run;
    }
}
